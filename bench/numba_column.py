"""Yardstick: one autumn of one bin as a compiled Python loop with the physics of the layer kernel.

Season: 90 days, 20 layers, hourly, corn 20 % w.b. at 15 degC, 4.5 m, 580 kg dry matter per m3, 0.0725 kg/(s m2) of dry air,
101 325 Pa. Weather by formula: T = 8 + 6 sin(2 pi (h - 9)/24) - 0.1 h/24 degC, relative humidity
0.72 - 0.18 sin(2 pi (h - 9)/24) held to 0.2 ... 0.98.

Per layer and hour: two-compartment kernel (corn of ../validation/kinetics/fit.toml), modified Henderson (corn_mh_a), Hyland &
Wexler saturation, integral heat of sorption, respiration by the corn loss law (heat, water, equivalent time), storage life used
in two readings (0.5 and 0.35 % loss), implicit step by Newton to 3e-7 d.b. with the air seeing 0.6 of the layer's change and
held at saturation. Left out against the Rust kernel: the cereal table of the strict reading, tallies of extremes.

Run: python3 numba_column.py [--check]
  --check  prints the state against the same column at a step of 60 s instead of timing.
"""

import math
import platform
import sys
import time
import tomllib
from pathlib import Path

import numba
import numpy as np
from numba import njit

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "validation" / "stiff"))
from column import Henderson, Sorption, humidity_ratio  # noqa: E402

HOURS, LAYERS = 2160, 20
DEPTH, DENSITY, FLUX, PRESSURE = 4.5, 580.0, 0.0725, 101325.0
MOISTURE, GRAIN = 0.25, 15.0
A, B, C = 8.6541e-5, 1.8634, 49.810
C_DRY, C_WATER = 1300.0, 4187.0
KELVIN, EPSILON = 273.15, 0.621945
C_AIR, C_VAPOUR, H_VAPOUR = 1006.0, 1860.0, 2_501_000.0
FLOOR, CAP, SEES = 0.005, 0.98, 0.6
DAMAGE = 2.08 * math.exp(-2.39 * 0.30)
LOSS_050, LOSS_035 = 231.0 * 3600.0, 178.0 * 3600.0  # equivalent time to the limit, rounded to the hour


def weather():
    """T and W of each hour."""
    h = np.arange(HOURS)
    swing = np.sin(2.0 * np.pi * (h - 9) / 24.0)
    t = 8.0 + 6.0 * swing - 0.1 * h / 24.0
    rh = np.clip(0.72 - 0.18 * swing, 0.2, 0.98)
    return t, np.array([humidity_ratio(a, b, PRESSURE) for a, b in zip(t, rh)])


def constants():
    """Kernel (share, ln_a, b, ln_a, b) and the five terms of the integral heat of sorption."""
    with open(HERE.parent / "validation" / "kinetics" / "fit.toml", "rb") as file:
        k = tomllib.load(file)["corn"]
    kernel = np.array([k[n] for n in ("shell_share", "shell_ln_a", "shell_b_k", "core_ln_a", "core_b_k")])
    return kernel, np.array(Sorption(Henderson(A, B, C), 20.0).c)


def build(**options):
    """The loop, compiled with the options of numba given."""
    jit = njit(**options)

    @jit
    def multiplier(m, t):
        md = min(max(100.0 * m, 15.0), 54.0)
        moisture = 0.103 * (math.exp(455.0 * md**-1.53) - 0.00845 * md + 1.558)
        f = t * 1.8 + 32.0
        if f <= 60.0:
            return moisture * 128.76 * math.exp(-0.081 * f)
        first = 32.3 * math.exp(-0.058 * f)
        wet = min(max(m / (1.0 + m) - 0.19, 0.0), 0.09)
        held = min(f, 100.0)
        share = wet / 32.3 * math.exp((held - 60.0) * 0.0102 + held * 0.058)
        return moisture * min(first * (1.0 + share), 0.9979523058227604)

    @jit
    def bound(c, m):
        u = math.exp(-6.0 * m)
        net = whole = zero = 0.0
        for j in range(4, -1, -1):
            share = c[j] / (6.0 * (j + 1))
            net = (net + c[j]) * u
            whole = (whole + share) * u
            zero += share
        return zero - whole, net

    @jit
    def ln_saturation(t):
        k = t + KELVIN
        i = 1.0 / k
        value = -5800.2206 * i + 1.3914993 + k * (-4.8640239e-2 + k * (4.1764768e-5 - 1.4452093e-8 * k)) + 6.5459673 * math.log(k)
        slope = i * (5800.2206 * i + 6.5459673) - 4.8640239e-2 + k * (2 * 4.1764768e-5 - 3 * 1.4452093e-8 * k)
        return value, slope

    @jit
    def season(t_air_h, w_air_h, kernel, c, layers, depth, density, flux, moisture, grain, steps_per_hour, respiration, state):
        """Runs the hours; state rows: shell, core, H, T, life used, strict life used, equivalent time. Returns Newton steps."""
        shell, core, heat, warm = state[0], state[1], state[2], state[3]
        life, strict, equivalent = state[4], state[5], state[6]
        s, ln_s, b_s, ln_c, b_c = kernel[0], kernel[1], kernel[2], kernel[3], kernel[4]
        start, _ = bound(c, moisture)
        for i in range(layers):
            shell[i] = core[i] = moisture
            warm[i] = grain
            heat[i] = (C_DRY + C_WATER * moisture) * grain - start
            life[i] = strict[i] = equivalent[i] = 0.0
        dt = 3600.0 / steps_per_hour
        ratio = density * depth / layers / (flux * dt)
        newton = 0
        for step in range(len(t_air_h) * steps_per_hour):
            t_air, w_air = t_air_h[step // steps_per_hour], w_air_h[step // steps_per_hour]
            for i in range(layers):
                t = warm[i]
                before = s * shell[i] + (1.0 - s) * core[i]
                h_start = heat[i]
                m_old = before
                if respiration:
                    pace = 1.0 / (multiplier(before, t) * DAMAGE)
                    hours = min(equivalent[i] / 3600.0, 600.0)
                    lost = (0.0883 * 0.006 * math.exp(0.006 * hours) + 0.00102) * (0.01 / 3600.0) * pace * dt
                    equivalent[i] += pace * dt
                    m_old += 0.600 * lost
                    h_start += 15.7e6 * lost
                inverse_k = 1.0 / (t + KELVIN)
                pull = dt * math.exp(ln_c - b_c * inverse_k)
                slowness = 1.0 / (dt * s * math.exp(ln_s - b_s * inverse_k))
                keep = 1.0 / (1.0 + pull)
                alpha = (1.0 - s) * core[i] * keep
                beta = s + (1.0 - s) * pull * keep
                h_in = C_AIR * t_air + w_air * (H_VAPOUR + C_VAPOUR * t_air)
                top = (m_old + 0.999 * w_air / ratio - alpha) / beta
                x = min(shell[i], top)
                for _ in range(40):
                    newton += 1
                    m = alpha + beta * x
                    given = ratio * (m_old - m)
                    w_out = w_air + given
                    gamma, gamma_slope = bound(c, m)
                    inverse = 1.0 / (C_AIR + C_VAPOUR * w_out + ratio * (C_DRY + C_WATER * m))
                    t = (h_in - w_out * H_VAPOUR + ratio * (h_start + gamma)) * inverse
                    t_slope = ratio * (H_VAPOUR + gamma_slope + t * (C_VAPOUR - C_WATER)) * inverse
                    ln_ps, ps_slope = ln_saturation(t)
                    per_ps = math.exp(-ln_ps)
                    w_seen = w_air + SEES * given
                    phi = PRESSURE * w_seen / (EPSILON + w_seen) * per_ps
                    held = min(max(phi, FLOOR), CAP)
                    lg = -math.log(1.0 - held)
                    me = 0.01 * math.exp(math.log(lg / (A * (t + C))) * (1.0 / B))
                    me_slope = -me / (B * (t + C)) * t_slope
                    if held == phi:
                        phi_slope = -phi * (SEES * ratio * EPSILON / (w_seen * (EPSILON + w_seen)) + ps_slope * t_slope)
                        me_slope += me / (B * (1.0 - held) * lg) * phi_slope
                    exchange = (m - m_old) * slowness + x - me
                    exchange_slope = beta * slowness + 1.0 - beta * me_slope
                    humidity = PRESSURE * w_out / (EPSILON + w_out) * per_ps
                    saturation_slope = beta * humidity * (ratio * EPSILON / (w_out * (EPSILON + w_out)) + ps_slope * t_slope)
                    change = min(exchange / max(exchange_slope, 1e-12), (1.0 - humidity) / max(saturation_slope, 1e-12))
                    change = min(max(change, -0.05), 0.05)
                    following = min(max(x - change, 1e-4), top)
                    moved = abs(following - x)
                    x = following
                    if moved <= 3e-7:
                        break
                m = alpha + beta * x
                w_out = w_air + ratio * (m_old - m)
                gamma, _ = bound(c, m)
                t = (h_in - w_out * H_VAPOUR + ratio * (h_start + gamma)) / (C_AIR + C_VAPOUR * w_out + ratio * (C_DRY + C_WATER * m))
                used = dt / (multiplier(m, t) * DAMAGE)
                life[i] += used / LOSS_050
                strict[i] += used / LOSS_035
                core[i] = (core[i] + pull * x) * keep
                shell[i] = x
                heat[i] = (C_DRY + C_WATER * m) * t - gamma
                warm[i] = t
                t_air, w_air = t, w_out
        return newton

    return season


def arguments(steps_per_hour=1, respiration=True):
    """Arguments of a season; the last is the state it fills."""
    t, w = weather()
    kernel, c = constants()
    return (t, w, kernel, c, LAYERS, DEPTH, DENSITY, FLUX, MOISTURE, GRAIN, steps_per_hour, respiration, np.zeros((7, LAYERS)))


def report(kernel, state):
    m = kernel[0] * state[0] + (1.0 - kernel[0]) * state[1]
    mean = m.mean()
    return (
        f"mean {100 * mean / (1 + mean):.3f} % wb, bottom {100 * m[0] / (1 + m[0]):.3f}, top {100 * m[-1] / (1 + m[-1]):.3f}, "
        f"top {state[3][-1]:.3f} C, most life used {state[4].max():.4f}, strict {state[5].max():.4f}"
    )


def clock(season, seasons=20, rounds=7):
    """Best wall and processor time of a season, s; the best of several rounds, because other work disturbs."""
    call = arguments()
    steps = season(*call)
    wall = cpu = math.inf
    for _ in range(rounds):
        a, b = time.perf_counter(), time.process_time()
        for _ in range(seasons):
            season(*call)
        wall = min(wall, (time.perf_counter() - a) / seasons)
        cpu = min(cpu, (time.process_time() - b) / seasons)
    return wall, cpu, steps, call


def main():
    if "--check" in sys.argv:
        season = build()
        for steps in (1, 4, 60):
            call = arguments(steps)
            season(*call)
            print(f"step {3600 // steps} s:", report(call[2], call[-1]))
        return
    print(f"python {platform.python_version()}, numba {numba.__version__}, numpy {np.__version__}; one thread, 90 days, {LAYERS} layers, hourly")
    for name, options in (("plain", {}), ("fastmath", {"fastmath": True, "error_model": "numpy"})):
        wall, cpu, steps, call = clock(build(**options))
        print(
            f"{name}: {1 / wall:.1f} bin-seasons/s (wall), {1 / cpu:.1f} (processor time); {steps / (HOURS * LAYERS):.2f} Newton steps a layer; "
            + report(call[2], call[-1])
        )


if __name__ == "__main__":
    main()
