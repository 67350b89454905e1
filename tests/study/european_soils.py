"""How soils hold and pass water by other formulas than the program's: European soils, fitted to other data."""

from __future__ import annotations

import numpy as np

RESIDUAL = 0.01
AT_33_KPA_CM, AT_1500_KPA_CM = 336.0, 15300.0


def normal_density_mg_m3(organic_matter_pct: np.ndarray) -> np.ndarray:
    """Density of unpacked soil, from its carbon: Manrique and Jones 1991, Soil Sci. Soc. Am. J. 55:476-481 (memory)."""
    return np.asarray(1.660 - 0.318 * np.sqrt(organic_matter_pct / 1.724))


def curve(clay_pct: np.ndarray, silt_pct: np.ndarray, organic_pct: np.ndarray, density: np.ndarray,
          topsoil: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Saturation, alpha [1/cm], n and conductivity [cm/day] of van Genuchten's curve.

    Wösten, Lilly, Nemes and Le Bas 1999, Development and use of a database of hydraulic properties of European soils,
    Geoderma 90:169-185, continuous functions (coefficients seen in another program's code, the paper itself not read).
    """
    c, s, om, d, t = clay_pct, silt_pct, organic_pct, density, topsoil
    saturation = (0.7919 + 0.001691 * c - 0.29619 * d - 1.491e-6 * s**2 + 8.21e-5 * om**2 + 0.02427 / c + 0.01113 / s
                  + 0.01472 * np.log(s) - 7.33e-5 * om * c - 6.19e-4 * d * c - 1.183e-3 * d * om - 1.664e-4 * t * s)
    alpha = (-14.96 + 0.03135 * c + 0.0351 * s + 0.646 * om + 15.29 * d - 0.192 * t - 4.671 * d**2 - 7.81e-4 * c**2
             - 0.00687 * om**2 + 0.0449 / om + 0.0663 * np.log(s) + 0.1482 * np.log(om) - 0.04546 * d * s
             - 0.4852 * d * om + 0.00673 * t * c)
    n = (-25.23 - 0.02195 * c + 0.0074 * s - 0.1940 * om + 45.5 * d - 7.24 * d**2 + 3.658e-4 * c**2 + 0.002885 * om**2
         - 12.81 / d - 0.1524 / s - 0.01958 / om - 0.2876 * np.log(s) - 0.0709 * np.log(om) - 44.6 * np.log(d)
         - 0.02264 * d * c + 0.0896 * d * om + 0.00718 * t * c)
    conductivity = (7.755 + 0.0352 * s + 0.93 * t - 0.967 * d**2 - 4.84e-4 * c**2 - 3.22e-4 * s**2 + 0.001 / s
                    - 0.0748 / om - 0.643 * np.log(s) - 0.01398 * d * c - 0.1673 * d * om + 0.02986 * t * c
                    - 0.03305 * t * s)
    return saturation, np.exp(alpha), 1.0 + np.exp(n), np.exp(conductivity)


def european_soil(sand: np.ndarray, clay: np.ndarray, organic_pct: np.ndarray, density: np.ndarray,
                  topsoil: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Wilting point, field capacity, saturation [m3 m-3] and conductivity [mm/h] of each layer."""
    silt = np.maximum(1.0 - sand - clay, 0.01)
    saturation, alpha, n, conductivity = curve(100.0 * clay, 100.0 * silt, np.maximum(organic_pct, 0.1), density,
                                               topsoil.astype(float))

    def holds(suction_cm: float) -> np.ndarray:
        return np.asarray(RESIDUAL + (saturation - RESIDUAL) * (1.0 + (alpha * suction_cm) ** n) ** (1.0 / n - 1.0))

    return holds(AT_1500_KPA_CM), holds(AT_33_KPA_CM), saturation, conductivity * 10.0 / 24.0
