"""Yardstick: the season of numba_column.py by SciPy's stiff solver (solve_ivp, BDF), in three ways.

  joined    rates compiled by numba, hourly weather joined by straight lines: one solver run for the season. Kindest to SciPy
            and not quite the same problem.
  held      rates compiled by numba, each hour's weather held: the same problem as the loop; the solver begins anew each hour.
  plain     as held, rates in plain Python (../validation/stiff/column.py): as such a script is ordinarily written.

All: rtol 1e-5 (absolute 1e-8 d.b., 0.1 J/kg). Storage life, equivalent time and respiration are left out, also to SciPy's
advantage (they would add 60 states). `joined` solves all 90 days; `held` and `plain` solve the first days and scale by days.

Run: python3 scipy_column.py [--held-days 20] [--plain-days 2]
"""

import argparse
import math
import platform
import sys
import time
from pathlib import Path

import numba
import numpy as np
import scipy
from numba import njit
from scipy.integrate import solve_ivp

from numba_column import (
    A, B, C, C_AIR, C_DRY, C_VAPOUR, C_WATER, CAP, DENSITY, DEPTH, EPSILON, FLOOR, FLUX, GRAIN, H_VAPOUR, KELVIN, LAYERS,
    MOISTURE, PRESSURE, SEES, constants, weather,
)

sys.path.insert(0, str(Path(__file__).parent.parent / "validation" / "stiff"))
from column import Column, Henderson, Sorption  # noqa: E402

RTOL = 1e-5


@njit
def bound(c, m):
    u = math.exp(-6.0 * m)
    whole = zero = 0.0
    for j in range(4, -1, -1):
        share = c[j] / (6.0 * (j + 1))
        whole = (whole + share) * u
        zero += share
    return zero - whole


@njit
def per_saturation(t):
    k = t + KELVIN
    return math.exp(
        5800.2206 / k - 1.3914993 - k * (-4.8640239e-2 + k * (4.1764768e-5 - 1.4452093e-8 * k)) - 6.5459673 * math.log(k)
    )


@njit
def rates(seconds, y, t_hours, w_hours, kernel, c):
    """Rates of shell, core and enthalpy of all layers; see ../validation/stiff/column.py."""
    n = LAYERS
    out = np.empty_like(y)
    hour = min(seconds / 3600.0, len(t_hours) - 1.000001)
    j = int(hour)
    part = hour - j
    t_air = t_hours[j] + part * (t_hours[j + 1] - t_hours[j])
    w_air = w_hours[j] + part * (w_hours[j + 1] - w_hours[j])
    h_air = C_AIR * t_air + w_air * (H_VAPOUR + C_VAPOUR * t_air)
    s = kernel[0]
    per_air = DENSITY * DEPTH / n / FLUX
    seen = SEES * per_air
    for i in range(n):
        shell, core = y[i], y[n + i]
        m = s * shell + (1.0 - s) * core
        t = (y[2 * n + i] + bound(c, m)) / (C_DRY + C_WATER * m)
        inverse = 1.0 / (t + KELVIN)
        conductance = s * math.exp(kernel[1] - kernel[2] * inverse)
        feed = math.exp(kernel[3] - kernel[4] * inverse) * (core - shell)
        per_ps = per_saturation(t)
        g = 0.0
        for _ in range(50):
            w = max(w_air + seen * g, 1e-9)
            phi = PRESSURE * w / (EPSILON + w) * per_ps
            held = min(max(phi, FLOOR), CAP)
            x = -math.log(1.0 - held)
            me = 0.01 * math.exp(math.log(x / (A * (t + C))) / B)
            slope = 1.0
            if held == phi:
                slope += conductance * me / (B * (1.0 - held) * x) * phi * seen * EPSILON / (w * (EPSILON + w))
            change = (g - conductance * (shell - me)) / slope
            g -= change
            if abs(change) < 1e-12 * conductance:
                break
        g = min(g, (EPSILON / (PRESSURE * per_ps - 1.0) - w_air) / per_air)
        w_out = w_air + per_air * g
        h_out = C_AIR * t + w_out * (H_VAPOUR + C_VAPOUR * t)
        out[i] = (-g + (1.0 - s) * feed) / s
        out[n + i] = -feed
        out[2 * n + i] = (h_air - h_out) / per_air
        w_air, h_air = w_out, h_out
    return out


def begin():
    """First state, absolute tolerances, weather, kernel and sorption constants."""
    t, w = weather()
    kernel, c = constants()
    n = LAYERS
    y = np.full(3 * n, MOISTURE)
    y[2 * n :] = (C_DRY + C_WATER * MOISTURE) * GRAIN - bound(c, MOISTURE)
    atol = np.full(3 * n, 1e-8)
    atol[2 * n :] = 0.1
    return y, atol, t, w, kernel, c


def checked(solved):
    if not solved.success:
        raise RuntimeError(solved.message)
    return solved.y[:, -1]


def joined(days):
    y, atol, *rest = begin()
    return checked(
        solve_ivp(rates, (0.0, days * 86400.0), y, method="BDF", rtol=RTOL, atol=atol, args=tuple(rest), max_step=3600.0)
    )


def held(days):
    y, atol, t, w, kernel, c = begin()
    for h in range(round(24 * days)):
        air = (np.full(2, t[h]), np.full(2, w[h]))
        y = checked(solve_ivp(rates, (0.0, 3600.0), y, method="BDF", rtol=RTOL, atol=atol, args=(*air, kernel, c)))
    return y


def plain(days):
    y, atol, t, w, kernel, _ = begin()
    isotherm = Henderson(A, B, C)
    column = Column(
        isotherm, Sorption(isotherm, 20.0), (kernel[0], kernel[1:3], kernel[3:5]), LAYERS, DEPTH, DENSITY, C_DRY, C_WATER,
        PRESSURE, CAP, SEES, [],
    )
    # The two running totals of water and energy come with that column.
    y, atol = np.append(y, [0.0, 0.0]), np.append(atol, [1e-5, 10.0])
    for h in range(round(24 * days)):
        air = (t[h], w[h], FLUX)
        y = checked(solve_ivp(lambda _, x: column.sweep(x, air)[0], (0.0, 3600.0), y, method="BDF", rtol=RTOL, atol=atol))
    return y


def say(name, way, days):
    start = time.perf_counter()
    y = way(days)
    seconds = time.perf_counter() - start
    season = seconds * 90.0 / days
    n, share = LAYERS, constants()[0][0]
    m = share * y[:n] + (1.0 - share) * y[n : 2 * n]
    mean = m.mean()
    print(
        f"{name}: {1 / season:.4f} bin-seasons/s ({season:.2f} s a season"
        + ("" if days == 90 else f", scaled from {days:g} days in {seconds:.2f} s")
        + f"); mean after {days:g} days {100 * mean / (1 + mean):.3f} % wb"
    )


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--held-days", type=float, default=20.0)
    parser.add_argument("--plain-days", type=float, default=2.0)
    options = parser.parse_args()
    print(f"python {platform.python_version()}, scipy {scipy.__version__}, numba {numba.__version__}; one thread, {LAYERS} layers")
    # Compilation and the first solver run do not count.
    joined(0.5)
    held(0.5)
    say("joined", joined, 90.0)
    say("held", held, options.held_days)
    say("plain", plain, options.plain_days)


if __name__ == "__main__":
    main()
