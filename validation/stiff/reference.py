"""Solves the cases of cases/ by SciPy's BDF and writes the expected profiles and exhaust air to expected/.

Same grid, other method in time: agreement within 0.05 points and 0.1 K is a test of the numerics, not of the physics.
Each case file has the form of `binwright column`; what that form does not carry (equilibrium constants, kernel, temperature
of the sorption heat, the shares of the layer's change that its air sees) stands in constants.toml and ../kinetics/fit.toml.
Hysteresis none, rewetting like drying, respiration off.

Run: python3 reference.py [CASE ...]
"""

import csv
import platform
import sys
import time
import tomllib
from pathlib import Path

import numpy as np
import scipy

from column import Column, Henderson, Sorption, humidity_ratio

HERE = Path(__file__).parent
RTOL, COARSE = 1e-8, 1e-6
SCALE = {"m": 1.0, "kg/m3": 1.0, "kJ/kg/K": 1e3, "kg/s/m2": 1.0, "kPa": 1e3, "C": 1.0, "s": 1.0}


def number(text):
    value, unit = text.split()
    return float(value) * SCALE[unit]


def dry_basis(text):
    parts = text.split()
    m = float(parts[0]) / 100.0
    return m if parts[-1] == "db" else m / (1.0 - m)


def percent_wet(m):
    return 100.0 * m / (1.0 + m)


def inlet_of(case, flux, pressure):
    inlet = case["inlet"]
    if "table" not in inlet:
        t = number(inlet["air"])
        h = float(inlet["relative_humidity"].split()[0]) / 100.0
        return [(0.0, t, humidity_ratio(t, h, pressure), flux)]
    with open(HERE / "cases" / inlet["table"], encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return [(float(r["hour"]), float(r["air_c"]), float(r["humidity_ratio"]), flux) for r in rows]


def column_of(case, theta):
    with open(HERE / "constants.toml", "rb") as file:
        constants = tomllib.load(file)
    with open(HERE.parent / "kinetics" / "fit.toml", "rb") as file:
        kernel = tomllib.load(file)[constants["kernel"][case["crop"]]]
    row = constants["relation"][case["relation"]]
    isotherm = Henderson(row["a"], row["b"], row["c"])
    pressure = number(case["pressure"])
    flux = number(case["dry_air_flux"])
    return Column(
        isotherm,
        Sorption(isotherm if case["sorption_heat"] else None, constants["sorption_temperature_c"]),
        (
            kernel["shell_share"],
            (kernel["shell_ln_a"], kernel["shell_b_k"]),
            (kernel["core_ln_a"], kernel["core_b_k"]),
        ),
        case["layers"],
        number(case["depth"]),
        number(case["dry_matter_density"]),
        number(case["dry_matter_specific_heat"]),
        number(case["water_specific_heat"]),
        pressure,
        case["humidity_cap"],
        theta,
        inlet_of(case, flux, pressure),
    )


def profile(column, y):
    n = column.layers
    s = column.kernel[0]
    shell, core = y[:n], y[n : 2 * n]
    m = s * shell + (1.0 - s) * core
    t = np.array([column.temperature(m[i], y[2 * n + i]) for i in range(n)])
    return shell, core, m, t


def solve(name, theta):
    with open(HERE / "cases" / f"{name}.toml", "rb") as file:
        case = tomllib.load(file)
    hours = [float(h) for h in case["hours"]]
    column = column_of(case, theta)
    start = column.start(dry_basis(case["moisture"]), number(case["grain_temperature"]))
    clock = time.perf_counter()
    fine = column.run(start, hours, RTOL)
    seconds = time.perf_counter() - clock
    rough = column_of(case, theta).run(start, hours, COARSE)

    n, depth = column.layers, number(case["depth"])
    points = kelvins = 0.0
    for hour in hours:
        _, _, m, t = profile(column, fine[hour][0])
        _, _, m2, t2 = profile(column, rough[hour][0])
        points = max(points, np.abs(percent_wet(m) - percent_wet(m2)).max())
        kelvins = max(kelvins, np.abs(t - t2).max())
    last = fine[hours[-1]][0]
    s = column.kernel[0]
    held = lambda y: column.mass * np.sum(s * y[:n] + (1.0 - s) * y[n : 2 * n])
    warmth = lambda y: column.mass * np.sum(y[2 * n : 3 * n])
    water = abs(held(last) - held(start) + last[3 * n])
    energy = abs(warmth(last) - warmth(start) + last[3 * n + 1])
    header = [
        f"# {name}, air of a layer sees {theta:g} of its change; semi-discrete column solved in time by scipy solve_ivp BDF, rtol {RTOL:g}",
        f"# python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}",
        f"# largest difference to the run at rtol {COARSE:g}: {points:.1e} points wb, {kelvins:.1e} K",
        f"# water closes to {water:.1e} kg/m2, energy to {energy:.1e} J/m2",
        f"# highest relative humidity of air leaving a layer {column.highest_humidity:.4f}"
        + (f"; held at saturation in {column.held} of the sweeps" if column.held else "; saturation never reached"),
    ]
    target = HERE / "expected"
    target.mkdir(exist_ok=True)
    with open(target / f"{name}.sees-{theta:g}.profile.csv", "w", encoding="utf-8") as file:
        file.write("\n".join(header) + "\nhour,layer,depth_m,shell_db,core_db,moisture_db,moisture_wb_percent,temperature_c\n")
        for hour in hours:
            shell, core, m, t = profile(column, fine[hour][0])
            for i in range(n):
                file.write(
                    f"{hour:g},{i},{(i + 0.5) * depth / n:.5f},{shell[i]:.8f},{core[i]:.8f},{m[i]:.8f},{percent_wet(m[i]):.6f},{t[i]:.6f}\n"
                )
    with open(target / f"{name}.sees-{theta:g}.exhaust.csv", "w", encoding="utf-8") as file:
        file.write("\n".join(header) + "\nhour,mean_moisture_wb_percent,exhaust_temperature_c,exhaust_humidity_ratio\n")
        for hour in hours:
            y, t_out, w_out = fine[hour]
            m = profile(column, y)[2]
            file.write(f"{hour:g},{percent_wet(m.mean()):.6f},{t_out:.6f},{w_out:.9f}\n")
    print(f"{name} sees {theta:g}: {seconds:.1f} s", *header[2:], sep="\n  ")


def main():
    with open(HERE / "constants.toml", "rb") as file:
        sees = tomllib.load(file)["air_sees"]
    wanted = sys.argv[1:] or list(sees)
    for name in wanted:
        for theta in sees[name]:
            solve(name, theta)


if __name__ == "__main__":
    main()
