"""The column of grain as ordinary differential equations in time, for a stiff solver of general use.

Same physics and same grid as the layer kernel of the project, another method in time, written apart from it:

* N layers of equal dry matter m_d (kg/m2); air passes from layer to layer, what leaves i enters i+1; storage of heat and
  vapour in the pore air is neglected; the leaving air has the temperature of the grain.
* state of a layer: shell moisture Ms, core moisture Mc (dry basis), enthalpy H (J per kg of dry matter);
  M = s Ms + (1-s) Mc, H = (c_d + c_w M) T - Gamma(M).
* water given to the air, per kg of dry matter: g = s k_s(T) [Ms - Me(phi, T)], phi the humidity of W_in + theta (W_out - W_in)
  at T, with W_out = W_in + g m_d/G. phi is held between a floor of 0.005 and the cap before Me is asked.
* the leaving air never passes saturation: where it would, g = G (W_sat(T) - W_in)/m_d.
* s dMs/dt = -g + (1-s) k_c (Mc - Ms), dMc/dt = -k_c (Mc - Ms), m_d dH/dt = G [h(T_in, W_in) - h(T, W_out)].

Sources: saturation Hyland & Wexler 1983; equilibrium Pfost et al. 1976 (modified Henderson); the kernels of ../kinetics.
SI, T in degC, moisture as a fraction dry basis, humidity as a fraction.
"""

import math

import numpy as np
from scipy.integrate import solve_ivp

KELVIN = 273.15
EPSILON = 0.621945
R_VAPOUR = 461.52
C_AIR, C_VAPOUR, H_VAPOUR = 1006.0, 1860.0, 2_501_000.0
FLOOR = 0.005
DECAY, TERMS = 6.0, 5


def ln_saturation(t):
    k = t + KELVIN
    return (
        -5800.2206 / k + 1.3914993 + k * (-4.8640239e-2 + k * (4.1764768e-5 - 1.4452093e-8 * k)) + 6.5459673 * math.log(k)
    )


def humidity_ratio(t, humidity, pressure):
    e = humidity * math.exp(ln_saturation(t))
    return EPSILON * e / (pressure - e)


def air_enthalpy(t, w):
    return C_AIR * t + w * (H_VAPOUR + C_VAPOUR * t)


class Henderson:
    """h = 1 - exp(-A (T + C) M^B), M in percent."""

    def __init__(self, a, b, c):
        self.a, self.b, self.c = a, b, c

    def moisture(self, humidity, t):
        """Equilibrium moisture and its slope with humidity."""
        x = -math.log(1.0 - humidity)
        m = 0.01 * (x / (self.a * (t + self.c))) ** (1.0 / self.b)
        return m, m / (self.b * (1.0 - humidity) * x)

    def log_slope(self, m, t):
        """d ln h/dT at constant moisture."""
        ap = self.a * (100.0 * m) ** self.b
        h = 1.0 - math.exp(-ap * (t + self.c))
        return ap * (1.0 - h) / h


class Sorption:
    """Gamma'(M) = sum of c_j u^j, u = exp(-6 M), j = 1 to 5: least squares to R T^2 dln h/dT from 3 to 60 % d.b. at one T."""

    def __init__(self, isotherm, t):
        if isotherm is None:
            self.c = [0.0] * TERMS
            return
        m = np.linspace(0.03, 0.60, 201)
        u = np.exp(-DECAY * m)
        rows = np.stack([u ** (j + 1) for j in range(TERMS)], axis=1)
        net = np.array([R_VAPOUR * (t + KELVIN) ** 2 * isotherm.log_slope(x, t) for x in m])
        normal = rows.T @ rows
        normal[np.diag_indices(TERMS)] *= 1.0 + 1e-9
        self.c = [float(x) for x in np.linalg.solve(normal, rows.T @ net)]
        self.misfit = max(
            abs(self.net(p / 100) - R_VAPOUR * (t + KELVIN) ** 2 * isotherm.log_slope(p / 100, t)) for p in range(5, 41)
        )

    def net(self, m):
        u = math.exp(-DECAY * m)
        return sum(c * u ** (j + 1) for j, c in enumerate(self.c))

    def whole(self, m):
        """Gamma(M), zero at M = 0."""
        u = math.exp(-DECAY * m)
        total, power = 0.0, 1.0
        for j, c in enumerate(self.c):
            power *= u
            total += c / (DECAY * (j + 1)) * (1.0 - power)
        return total


class Column:
    """Constants of one column; `inlet` is a list of (hour it begins, T, W, G), held until the next."""

    def __init__(self, isotherm, sorption, kernel, layers, depth, density, c_dry, c_water, pressure, cap, theta, inlet):
        self.isotherm, self.sorption, self.kernel = isotherm, sorption, kernel
        self.layers, self.mass = layers, density * depth / layers
        self.c_dry, self.c_water = c_dry, c_water
        self.pressure, self.cap, self.theta, self.inlet = pressure, cap, theta, inlet
        self.highest_humidity = 0.0
        self.held = 0

    def start(self, moisture, t):
        h = (self.c_dry + self.c_water * moisture) * t - self.sorption.whole(moisture)
        n = self.layers
        return np.concatenate([np.full(n, moisture), np.full(n, moisture), np.full(n, h), [0.0, 0.0]])

    def temperature(self, m, h):
        return (h + self.sorption.whole(m)) / (self.c_dry + self.c_water * m)

    def giving(self, conductance, shell, t, w_in, per_air):
        """Water given per kg of dry matter and second, and the humidity of the leaving air."""
        inverse = math.exp(-ln_saturation(t))
        seen = self.theta * per_air

        def residual(g):
            w = max(w_in + seen * g, 1e-9)
            phi = self.pressure * w / (EPSILON + w) * inverse
            held = min(max(phi, FLOOR), self.cap)
            m, slope = self.isotherm.moisture(held, t)
            value = g - conductance * (shell - m)
            if phi != held:
                return value, 1.0
            return value, 1.0 + conductance * slope * phi * seen * EPSILON / (w * (EPSILON + w))

        low = conductance * (shell - self.isotherm.moisture(self.cap, t)[0])
        high = conductance * shell
        g = 0.5 * (low + high)
        tolerance = 1e-13 * conductance
        for _ in range(200):
            value, slope = residual(g)
            if value > 0.0:
                high = g
            else:
                low = g
            following = g - value / slope
            if not low <= following <= high:
                following = 0.5 * (low + high)
            if abs(following - g) <= tolerance:
                g = following
                break
            g = following
        most = self.pressure * inverse
        w_saturated = EPSILON / (most - 1.0)
        if w_in + per_air * g > w_saturated:
            return (w_saturated - w_in) / per_air, 1.0
        w = w_in + per_air * g
        return g, self.pressure * w / (EPSILON + w) * inverse

    def sweep(self, y, air, watch=False):
        """Rates of all states, then temperature and humidity ratio of the leaving air."""
        n = self.layers
        s, (ln_s, b_s), (ln_c, b_c) = self.kernel
        t_air, w_air, flux = air
        rates = np.empty_like(y)
        per_air = self.mass / flux
        t_in, w_in = t_air, w_air
        h_air = air_enthalpy(t_air, w_air)
        for i in range(n):
            shell, core, h = y[i], y[n + i], y[2 * n + i]
            m = s * shell + (1.0 - s) * core
            t = self.temperature(m, h)
            k_s, k_c = math.exp(ln_s - b_s / (t + KELVIN)), math.exp(ln_c - b_c / (t + KELVIN))
            g, phi = self.giving(s * k_s, shell, t, w_air, per_air)
            if watch:
                self.highest_humidity = max(self.highest_humidity, phi)
                self.held += phi >= 1.0
            w_out = w_air + per_air * g
            h_out = air_enthalpy(t, w_out)
            feed = k_c * (core - shell)
            rates[i] = (-g + (1.0 - s) * feed) / s
            rates[n + i] = -feed
            rates[2 * n + i] = (h_air - h_out) / per_air
            t_air, w_air, h_air = t, w_out, h_out
        rates[3 * n] = flux * (w_air - w_in)
        rates[3 * n + 1] = flux * (h_air - air_enthalpy(t_in, w_in))
        return rates, t_air, w_air

    def run(self, y, hours, rtol):
        """States at the hours, each with the leaving air under the inlet that held until then."""
        starts = [row[0] for row in self.inlet] + [math.inf]
        stops = sorted(set(hours) | {h for h in starts if 0.0 < h < max(hours)})
        n = self.layers
        atol = np.concatenate([np.full(2 * n, rtol * 1e-3), np.full(n, rtol * 10.0), [rtol, rtol * 1e4]])
        now, shown = 0.0, {}
        for stop in stops:
            row = max(i for i, h in enumerate(starts) if h <= now)
            air = self.inlet[row][1:]
            solved = solve_ivp(
                lambda _, x: self.sweep(x, air)[0], (now * 3600.0, stop * 3600.0), y, method="BDF", rtol=rtol, atol=atol
            )
            if not solved.success:
                raise RuntimeError(solved.message)
            for k in range(solved.y.shape[1]):
                self.sweep(solved.y[:, k], air, watch=True)
            y, now = solved.y[:, -1], stop
            if stop in hours:
                _, t_out, w_out = self.sweep(y, air)
                shown[stop] = (y.copy(), t_out, w_out)
        return shown
