"""Closed forms for tests: drying and temperature fronts in the equilibrium limit, Hukill's solution, the kernel's step response.

front.csv     An even bed in constant air with equilibrium in every layer: two jumps leave the inlet, a fast one (the
              temperature front) from the grain as filled to a plateau, a slow one (the drying front) from the plateau to
              grain in equilibrium with the inlet. Across each, v rho_d [M] = G [W] and v rho_d [H] = G [h]; on each side air and
              grain are in equilibrium. Beds V1 and V2 of the computed reference beds, without and with the integral heat of
              sorption at 20 degC.
hukill.csv    MR = 2^D/(2^D + 2^Y - 1), tau = 2^Y/(2^D + 2^Y - 1), mean over D units log2[(2^D + 2^Y - 1)/2^Y]/D (Hukill
              1947/1954), beside an explicit integration of dMR/dY = -ln2 MR tau, dtau/dD = -ln2 MR tau.
kernel.csv    Shell and core after a step of the air, as fractions of the way still to go, by a Runge-Kutta solver at rtol 1e-12
              with the constants of ../kinetics/fit.toml: for the closed form in crates/physics/src/kinetics.rs.

Run: python3 closed.py
"""

import math
import platform
import sys
import tomllib
from pathlib import Path

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.optimize import root

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "stiff"))
from column import EPSILON, Henderson, Sorption, air_enthalpy, humidity_ratio, ln_saturation  # noqa: E402

PRESSURE = 101325.0
VERSIONS = f"# python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}\n"


class ChungPfost:
    """h = exp(-A/(T + C) exp(-B M)), M in percent."""

    def __init__(self, a, b, c):
        self.a, self.b, self.c = a, b, c

    def humidity(self, m, t):
        return math.exp(-self.a / (t + self.c) * math.exp(-100.0 * self.b * m))

    def moisture(self, h, t):
        return (-math.log(-(t + self.c) * math.log(h) / self.a) / self.b / 100.0,)

    def log_slope(self, m, t):
        return -math.log(self.humidity(m, t)) / (t + self.c)


class HendersonBoth(Henderson):
    def humidity(self, m, t):
        return 1.0 - math.exp(-self.a * (t + self.c) * (100.0 * m) ** self.b)


def fronts(isotherm, sorption, density, flux, moisture, grain, inlet_t, inlet_w, c_dry=1300.0, c_water=4187.0):
    heat = lambda m, t: (c_dry + c_water * m) * t - sorption.whole(m)
    air = lambda m, t: humidity_ratio(t, isotherm.humidity(m, t), PRESSURE)
    phi = PRESSURE * inlet_w / (EPSILON + inlet_w) / math.exp(ln_saturation(inlet_t))
    dry = isotherm.moisture(phi, inlet_t)[0]
    first_w = air(moisture, grain)
    scale = density / flux

    def jumps(x):
        t, m, slow, fast = x[0], x[1], x[2] * 1e-6, x[3] * 1e-4
        w = air(m, t)
        return [
            1e3 * (scale * slow * (m - dry) - (w - inlet_w)),
            1e-3 * (scale * slow * (heat(m, t) - heat(dry, inlet_t)) - (air_enthalpy(t, w) - air_enthalpy(inlet_t, inlet_w))),
            1e3 * (scale * fast * (moisture - m) - (first_w - w)),
            1e-3 * (scale * fast * (heat(moisture, grain) - heat(m, t)) - (air_enthalpy(grain, first_w) - air_enthalpy(t, w))),
        ]

    solved = root(jumps, [inlet_t - 3.4, moisture - 0.003, 1.6, 1.0], tol=1e-13)
    if not solved.success or max(abs(r) for r in solved.fun) > 1e-9:
        raise RuntimeError(solved.message)
    t, m, slow, fast = solved.x[0], solved.x[1], solved.x[2] * 1e-6, solved.x[3] * 1e-4
    return t, m, air(m, t), isotherm.humidity(m, t), dry, slow * 86400.0, fast * 3600.0


def write_fronts():
    corn = HendersonBoth(8.6541e-5, 1.8634, 49.810)
    wheat = ChungPfost(529.43, 0.17609, 50.998)
    beds = {
        "V1": (corn, 580.0, 0.0725, 0.25, 15.0, 10.56, 0.003937),
        "V2": (wheat, 640.0, 0.0603, 0.219512, 20.0, 16.67, 0.006592),
    }
    with open(HERE / "front.csv", "w", encoding="utf-8") as file:
        file.write("# Jump relations of an equilibrium bed, c_d 1.3, c_w 4.187 kJ/(kg K), 101 325 Pa; inputs of beds V1 and V2\n" + VERSIONS)
        file.write(
            "case,sorption_heat,plateau_temperature_c,plateau_moisture_wb_percent,plateau_humidity_ratio,plateau_relative_humidity,"
            "dry_moisture_wb_percent,drying_front_m_per_day,temperature_front_m_per_hour\n"
        )
        for name, (isotherm, *rest) in beds.items():
            for warm in (False, True):
                t, m, w, h, dry, slow, fast = fronts(isotherm, Sorption(isotherm if warm else None, 20.0), *rest)
                file.write(
                    f"{name},{str(warm).lower()},{t:.4f},{100 * m / (1 + m):.4f},{w:.7f},{h:.5f},{100 * dry / (1 + dry):.4f},{slow:.6f},{fast:.5f}\n"
                )


def integrated(depth_units, y_end, cells_per_unit=400, steps_per_unit=400):
    """Upwind cells at mid-points in D, mid-point rule in Y."""
    n = int(round(depth_units * cells_per_unit))
    ln2, dd, dy = math.log(2.0), 1.0 / cells_per_unit, 1.0 / steps_per_unit
    ratio = np.ones(n)

    def tau(r):
        # dtau/dD = -ln2 MR tau: the exact decay across each cell, read at its middle.
        total = np.cumsum(r) * dd
        return np.exp(-ln2 * (total - 0.5 * r * dd))

    for _ in range(int(round(y_end * steps_per_unit))):
        middle = ratio - 0.5 * dy * ln2 * ratio * tau(ratio)
        ratio = ratio - dy * ln2 * middle * tau(middle)
    return ratio


def write_hukill():
    with open(HERE / "hukill.csv", "w", encoding="utf-8") as file:
        file.write("# Hukill 1947/1954; mean over depths 0 to D; integrated: 400 cells and steps a unit, mean over 0 to D\n" + VERSIONS)
        file.write("depth_units,half_times,moisture_ratio,temperature_ratio,mean_moisture_ratio,mean_integrated\n")
        for y in (1.0, 3.0, 5.0, 8.0):
            ratio = integrated(8.0, y)
            for d in (0.5, 1.0, 2.0, 4.0, 6.0, 8.0):
                below = 2.0**d + 2.0**y - 1.0
                mean = math.log2(below / 2.0**y) / d
                file.write(f"{d:g},{y:g},{2.0**d / below:.8f},{2.0**y / below:.8f},{mean:.8f},{ratio[: int(d * 400)].mean():.8f}\n")


def write_kernel():
    with open(HERE.parent / "kinetics" / "fit.toml", "rb") as file:
        kernels = tomllib.load(file)
    with open(HERE / "kernel.csv", "w", encoding="utf-8") as file:
        file.write("# Step of the air at hour 0; shell and core as fractions of the way still to go\n" + VERSIONS)
        file.write("kernel,temperature_c,hour,shell,core,whole\n")
        for name, k in kernels.items():
            s = k["shell_share"]
            for t in (-5.0, 10.0, 40.0):
                tk = t + 273.15
                ks = math.exp(k["shell_ln_a"] - k["shell_b_k"] / tk) * 3600.0
                kc = math.exp(k["core_ln_a"] - k["core_b_k"] / tk) * 3600.0
                hours = [0.25, 1.0, 4.0, 24.0]
                solved = solve_ivp(
                    lambda _, y: [-ks * y[0] + (1 - s) / s * kc * (y[1] - y[0]), -kc * (y[1] - y[0])],
                    (0.0, hours[-1]), [1.0, 1.0], method="DOP853", t_eval=hours, rtol=1e-12, atol=1e-14,
                )
                for hour, shell, core in zip(hours, *solved.y):
                    file.write(f"{name},{t:g},{hour:g},{shell:.10f},{core:.10f},{s * shell + (1 - s) * core:.10f}\n")


if __name__ == "__main__":
    write_fronts()
    write_hukill()
    write_kernel()
