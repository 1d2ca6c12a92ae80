"""How many worlds a small question allows."""

from typing import Any

from catalog.resolver import parts

Json = dict[str, Any]


def worlds(catalog: parts.Catalog, question: Json) -> int:
    """About how many worlds there are at every half mm, every 0.1°, and three values of all else."""
    survey, boat, winch = question["survey"], question["boat"], question["winch"]
    runs = (
        1
        if winch["year"] or winch["serial"]
        else sum(run.model == winch["model"] for run in catalog.runs.values())
    )
    count = runs * (2 if winch["serial"] is None and catalog.exceptions else 1) * (1 if winch["plug"] else 2)
    count *= (1 if boat["motor_voltage"] else 3) * (1 if boat["control_voltage"] else 2)
    count *= 2 * _half_mm(survey["deck_thickness"]) + 1
    datum = survey["datum_bearing"]
    count *= 3_600 if datum is None else 1 + 20 * datum.get("plus_minus", 0)
    sectors = survey["free_radius"] or [{"from": 0, "to": 360, "radius": None}]
    gap = sum((one["to"] - one["from"]) % 360 or 360 for one in sectors) < 360
    lengths: list[Json | None] = [one["radius"] for one in sectors] + ([None] if gap else [])
    lengths += [survey["depth_below_deck"], survey["pad_diameter"]]
    lengths += list((survey["opening"] or {"round": None}).values())
    for length in lengths:
        count *= 1 if length is not None and set(length) == {"value"} else 3
    return count


def _half_mm(deck: Json | None) -> int:
    """How wide a deck's interval is, in mm, with open ends closed at 1 and 400 mm."""
    if deck is None:
        return 399
    if "value" in deck:
        return 2 * int(deck.get("plus_minus", 0))
    return int(deck.get("at_most", 400)) - int(deck.get("at_least", 1))
