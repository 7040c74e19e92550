"""What do the textbook formulas say of a trial's size? They seed the search, and can be asked for.

Every graft stands alone in them; trays come in through the design effect. All
takes are proportions, sizes are grafts of one arm, not rounded up.
"""

from __future__ import annotations

import math

from scipy import special

from takestats.models.crossing import crossing


def normal_quantile(share: float) -> float:
    """Value that a share of the standard normal lies below."""
    return float(special.ndtri(share))


def design_effect(tray_size: float, icc: float, variation: float = 0.0) -> float:
    """How many times more grafts are needed because trays differ.

    Parameters
    ----------
    tray_size : float
        Mean grafts of a tray.
    icc : float
        Intra-tray correlation.
    variation : float
        Coefficient of variation of the tray sizes.

    Notes
    -----
    Donner & Klar 2000, Design and Analysis of Cluster Randomization Trials, ch.
    5; unequal trays: Eldridge, Ashby & Kerry 2006, Int J Epidemiol 35:1292.

    Examples
    --------
    >>> round(design_effect(20, 0.05), 9), round(design_effect(20, 0.05, 0.4), 9)
    (1.95, 2.11)
    """
    return 1.0 + ((variation**2 + 1.0) * tray_size - 1.0) * icc


def pooled_size(take_a: float, take_b: float, level: float, power: float) -> float:
    """Grafts an arm to tell two takes apart: pooled variance when they are equal.

    Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions, eq.
    4.14 (from memory).

    Examples
    --------
    >>> f"{pooled_size(0.65, 0.45, 0.95, 0.8):.3f}"
    '95.942'
    """
    middle = 0.5 * (take_a + take_b)
    chance = normal_quantile(0.5 + level / 2.0) * math.sqrt(2.0 * middle * (1.0 - middle))
    found = normal_quantile(power) * math.sqrt(_two_variances(take_a, take_b))
    return ((chance + found) / (take_a - take_b)) ** 2


def pooled_power(take_a: float, take_b: float, grafts: float, level: float) -> float:
    """Power of so many grafts an arm, in the right direction (the pooled formula)."""
    middle = 0.5 * (take_a + take_b)
    chance = normal_quantile(0.5 + level / 2.0) * math.sqrt(2.0 * middle * (1.0 - middle))
    spread = math.sqrt(max(_two_variances(take_a, take_b), 1e-300))
    gap = math.sqrt(grafts) * abs(take_a - take_b)
    return float(special.ndtr((gap - chance) / spread))


def _two_variances(take_a: float, take_b: float) -> float:
    return take_a * (1.0 - take_a) + take_b * (1.0 - take_b)


def unpooled_size(take_a: float, take_b: float, level: float, power: float) -> float:
    """Grafts an arm to tell two takes apart: each with its own variance."""
    reach = normal_quantile(0.5 + level / 2.0) + normal_quantile(power)
    return reach**2 * _two_variances(take_a, take_b) / (take_a - take_b) ** 2


def corrected_size(take_a: float, take_b: float, level: float, power: float) -> float:
    """The pooled size with the continuity correction (Fleiss, Levin & Paik 2003, eq. 4.15)."""
    size = pooled_size(take_a, take_b, level, power)
    return size / 4.0 * (1.0 + math.sqrt(1.0 + 4.0 / (size * abs(take_a - take_b)))) ** 2


def angle_between(take_a: float, take_b: float) -> float:
    """Effect on the arcsine scale, Cohen's h."""
    return 2.0 * abs(math.asin(math.sqrt(take_a)) - math.asin(math.sqrt(take_b)))


def arcsine_size(take_a: float, take_b: float, level: float, power: float) -> float:
    """Grafts an arm to tell two takes apart, on the arcsine scale.

    Cohen 1988, Statistical Power Analysis, 2nd ed., ch. 6; both tails counted.
    """
    angle = angle_between(take_a, take_b)
    reach = normal_quantile(0.5 + level / 2.0) + normal_quantile(power)
    guess = 2.0 * (reach / angle) ** 2

    def short(grafts: float) -> float:
        cut = normal_quantile(0.5 + level / 2.0)
        shift = angle * math.sqrt(grafts / 2.0)
        both = float(special.ndtr(shift - cut) + special.ndtr(-shift - cut))
        return both - power

    return crossing(short, 1e-9, 2.0 * guess + 2.0, within=1e-12)


def arcsine_power(angle: float, grafts: float, level: float) -> float:
    """Power of so many grafts an arm on the arcsine scale, in the right direction.

    Examples
    --------
    >>> f"{arcsine_power(0.3, 80, 0.90):.5f}"
    '0.59968'
    """
    cut = normal_quantile(0.5 + level / 2.0)
    return float(special.ndtr(angle * math.sqrt(grafts / 2.0) - cut))


def blackwelder_size(
    standard: float, new: float, margin: float, level: float, power: float
) -> float:
    """Grafts an arm to show that a take is no worse (Blackwelder 1982, Control Clin Trials 3:345).

    Examples
    --------
    >>> f"{blackwelder_size(0.9, 0.9, 0.1, 0.95, 0.8):.2f}"
    '141.28'
    """
    reach = normal_quantile(0.5 + level / 2.0) + normal_quantile(power)
    return reach**2 * _two_variances(standard, new) / (new - standard + margin) ** 2


def blackwelder_power(
    standard: float, new: float, margin: float, grafts: float, level: float
) -> float:
    """Power of so many grafts an arm to show that a take is no worse."""
    error = math.sqrt(max(_two_variances(standard, new), 1e-300) / grafts)
    cut = normal_quantile(0.5 + level / 2.0)
    return float(special.ndtr((new - standard + margin) / error - cut))


def restricted_takes(standard: float, new: float, margin: float) -> tuple[float, float]:
    """Most likely takes of standard and new that lie exactly ``margin`` apart."""

    def slope(rate: float) -> float:
        low = rate - margin
        return (
            standard / rate
            - (1.0 - standard) / (1.0 - rate)
            + new / low
            - (1.0 - new) / (1.0 - low)
        )

    edge = 1e-12
    rate = crossing(slope, margin + edge, 1.0 - edge, within=1e-15)
    return rate, rate - margin


def score_size(standard: float, new: float, margin: float, level: float, power: float) -> float:
    """Grafts an arm to show no worse by the score test.

    Farrington & Manning 1990, Stat Med 9:1447: variance under the margin from
    the restricted takes.
    """
    under = _two_variances(*restricted_takes(standard, new, margin))
    reach = normal_quantile(0.5 + level / 2.0) * math.sqrt(under)
    reach += normal_quantile(power) * math.sqrt(_two_variances(standard, new))
    return (reach / (new - standard + margin)) ** 2


def floor_size(floor: float, take: float, level: float, power: float) -> float:
    """Grafts to show that a take lies above a floor (one sample, normal)."""
    reach = normal_quantile(0.5 + level / 2.0) * math.sqrt(floor * (1.0 - floor))
    reach += normal_quantile(power) * math.sqrt(take * (1.0 - take))
    return (reach / (take - floor)) ** 2


def floor_power(floor: float, take: float, grafts: float, level: float) -> float:
    """Power of so many grafts to show that a take lies above a floor (normal)."""
    cut = normal_quantile(0.5 + level / 2.0) * math.sqrt(floor * (1.0 - floor))
    spread = math.sqrt(max(take * (1.0 - take), 1e-300))
    return float(special.ndtr((math.sqrt(grafts) * (take - floor) - cut) / spread))


def angle_size(floor: float, take: float, level: float, power: float) -> float:
    """Grafts to show that a take lies above a floor, on the arcsine scale."""
    reach = normal_quantile(0.5 + level / 2.0) + normal_quantile(power)
    return (reach / angle_between(floor, take)) ** 2


def wald_size(take: float, margin: float, level: float) -> float:
    """Grafts to know a take to within a margin, by the plain formula.

    Examples
    --------
    >>> f"{wald_size(0.5, 0.05, 0.95):.2f}"
    '384.15'
    """
    return (normal_quantile(0.5 + level / 2.0) / margin) ** 2 * take * (1.0 - take)


def wilson_half_width(take: float, grafts: float, level: float) -> float:
    """Half the width of the Wilson limits when just this share took."""
    cut = normal_quantile(0.5 + level / 2.0)
    inside = take * (1.0 - take) / grafts + cut**2 / (4.0 * grafts**2)
    return cut * math.sqrt(inside) / (1.0 + cut**2 / grafts)


def wilson_size(take: float, margin: float, level: float) -> float:
    """Grafts to know a take to within a margin, by the Wilson limits."""
    top = 4.0 * wald_size(0.5, margin, level) + 10.0
    return crossing(lambda n: wilson_half_width(take, n, level) - margin, 1e-6, top, within=1e-12)


def all_took_size(take: float, confidence: float) -> float:
    """Grafts that must all take before a take of at least this much is shown.

    Examples
    --------
    >>> f"{all_took_size(0.9, 0.95):.3f}"
    '28.433'
    """
    return math.log(1.0 - confidence) / math.log(take)
