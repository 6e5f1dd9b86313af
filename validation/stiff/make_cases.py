"""Writes the case files; depths are the centres of the layers, the swinging inlet follows a stated formula."""

import math
from pathlib import Path

from column import humidity_ratio

CASES = Path(__file__).parent / "cases"
PRESSURE = 101325.0

FORM = """# {about}
crop = "{crop}"
relation = "{relation}"
rewetting = "same"
humidity_cap = 0.98
depth = "{depth:g} m"
dry_matter_density = "{density:g} kg/m3"
dry_matter_specific_heat = "1.3 kJ/kg/K"
water_specific_heat = "4.187 kJ/kg/K"
dry_air_flux = "{flux:g} kg/s/m2"
pressure = "101.325 kPa"
moisture = "{moisture:g} %"
grain_temperature = "{grain:g} C"
sorption_heat = true
respiration = false
layers = {layers}
step = "{step} s"
hours = {hours}
depths = [{depths}]

[inlet]
{inlet}
"""


def write(name, layers, depth, **rest):
    depths = ", ".join(f'"{(i + 0.5) * depth / layers:.5f} m"' for i in range(layers))
    (CASES / f"{name}.toml").write_text(FORM.format(layers=layers, depth=depth, depths=depths, **rest), encoding="utf-8")


def steady(t, percent):
    return f'air = "{t:g} C"\nrelative_humidity = "{percent:g} %"'


def main():
    CASES.mkdir(exist_ok=True)
    corn = {"crop": "corn", "relation": "corn_mh_a"}
    write(
        "corn-natural-air", 20, 4.5, about="Corn in constant natural air: the bed of V1 with kernels and sorption heat.", **corn,
        density=580, flux=0.0725, moisture=20, grain=15, step=60, hours=[6, 24, 120, 240, 480, 720], inlet=steady(10.56, 50),
    )
    write(
        "corn-warm-bed", 20, 0.6, about="Corn in warm dry air, shallow bed.", **corn,
        density=560, flux=0.15, moisture=25, grain=22, step=10, hours=[0.5, 1, 2, 4, 8, 16, 24], inlet=steady(45, 10),
    )
    write(
        "corn-cold-bed", 20, 0.6, about="Cold corn under warm humid air: water condenses on the grain first.", **corn,
        density=580, flux=0.10, moisture=18, grain=2, step=2, hours=[0.5, 1, 2, 4, 8, 16], inlet=steady(25, 60),
    )
    write(
        "wheat-swinging-inlet", 24, 3.0, about="Wheat under a daily swing, humid nights: drying and rewetting by turns.",
        crop="wheat-hard", relation="wheat_hard_mh_a", density=640, flux=0.05, moisture=18, grain=20, step=60,
        hours=[6, 15, 24, 51, 120, 174, 240, 360], inlet='table = "wheat-swinging-inlet.csv"',
    )
    lines = [
        "# T = 15 + 6 sin(2 pi (h - 9)/24) degC, relative humidity 0.66 - 0.20 sin(2 pi (h - 9)/24), 101 325 Pa; each row holds",
        "# until the next",
        "hour,air_c,humidity_ratio",
    ]
    for h in range(360):
        swing = math.sin(2.0 * math.pi * (h - 9) / 24.0)
        t = round(15.0 + 6.0 * swing, 4)
        lines.append(f"{h},{t:.4f},{humidity_ratio(t, 0.66 - 0.20 * swing, PRESSURE):.8f}")
    (CASES / "wheat-swinging-inlet.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
