"""The candidate of one_candidate.yaml as somebody would write it in NumPy: one expression after another, no model.

Figures are arrays of shape (draws, 1) or numbers; months run along the second axis.
"""

import numpy as np

SEASON = np.array([9, 8, 10, 8, 9, 9, 6, 5, 9, 10, 9, 8], dtype=float)


def present_value(figures, months=60):
    """Cost in today's money of the bought press, shape (draws,)."""
    f = {name: np.reshape(value, (-1, 1)) for name, value in figures.items()}
    month = np.arange(1.0, months + 1)
    year = np.floor((month - 1) / 12) + 1
    opening = (1 + f["discount"]) ** (-(month - 1) / 12)
    close = (1 + f["discount"]) ** (-month / 12)
    level = (1 + f["inflation"]) ** (year - 1)
    season = (SEASON / SEASON.mean())[(month.astype(int) - 1) % 12]
    index = f["scale"] * season * 1.03 ** (year - 1)

    # The press: regular hours, then overtime, then outside.
    passes = 40_000 * 1.04
    needed = passes / 30 / 60
    wanted = needed * index
    regular = np.minimum(wanted, 38 * 52 / 12)
    share = np.divide(regular, wanted, out=np.zeros_like(wanted), where=wanted != 0)
    done = index * share
    left = index - done
    wanted_late = needed * left
    overtime = np.minimum(wanted_late, 6 * 52 / 12)
    share_late = np.divide(overtime, wanted_late, out=np.zeros_like(wanted_late), where=wanted_late != 0)
    done_late = left * share_late
    out = left - done_late
    done = done + done_late

    factor = (1 + f["increase"]) ** np.maximum(0, np.floor((month - 13) / 12) + 1)
    clicks = done * passes * f["rate"] * factor
    paper = (done * passes + out * 40_000) * f["paper"] * level
    outside = out * 40_000 * 0.11 * level

    # Half posts, set by the busiest month of each year.
    wages = np.empty_like(wanted)
    paid = 38 * 52 / 12
    for start in range(0, months, 12):
        peak = regular[:, start : start + 12].max(axis=1, keepdims=True)
        posts = np.ceil(peak / (paid * 0.8) / 0.5 - 1e-9) * 0.5
        wages[:, start : start + 12] = posts * paid * f["wage"] * 1.25 * level[:, start : start + 12]
    people = wages + overtime * f["wage"] * 1.5 * level

    at_opening = f["base"] * factor * opening
    at_close = (clicks + paper + outside + people) * close
    ends = f["price"][:, 0] - (f["sale"] * close)[:, -1]
    return ends + at_opening.sum(axis=1) + at_close.sum(axis=1)
