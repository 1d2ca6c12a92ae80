"""Entry: does every piece of the drive pass the opening, and can the drive be offered up under the deck?

A piece goes through with its longest side first, squarely: its two smaller sides must pass. Through a round
opening that is their diagonal, through a rectangle each side for itself; tilting a piece is not counted on.
A captive shaft stands on the piece that carries it, and has to clear the underside of the deck before the
drive can be lifted; a shaft pushed up from below needs its own length there; one dropped in from above
needs nothing. What goes in that way comes out again.
"""

from __future__ import annotations

import math

from catalog.resolver.facts import Direction
from catalog.resolver.kits import Case, Check
from catalog.resolver.parts import Drive, Mounting, Piece, Shaft

READS = {"opening": Direction.MORE, "depth_below_deck_um": Direction.MORE}


def entry(case: Case) -> list[Check]:
    return [_opening(case), _offer_up(case)]


def standing_um(shaft: Shaft) -> int:
    """By how much the piece that carries the shaft is taller for it."""
    return shaft.standing_height_um if shaft.mounting is Mounting.CAPTIVE else 0


def smaller_sides_um(piece: Piece, standing: int) -> tuple[int, int]:
    """The two smaller sides of a piece, the smaller first."""
    height = piece.height_um + (standing if piece.carries_shaft else 0)
    small, middle, _ = sorted((piece.length_um, piece.width_um, height))
    return small, middle


def round_need_um(small: int, middle: int) -> int:
    """The round opening that a piece of these smaller sides needs, rounded up to 1 µm."""
    squared = small * small + middle * middle
    root = math.isqrt(squared)
    return root if root * root == squared else root + 1


def offer_up_um(drive: Drive, shaft: Shaft) -> int:
    """The depth below the deck that lifting the drive into place takes."""
    if shaft.mounting is Mounting.CAPTIVE:
        return drive.height_um + shaft.standing_height_um
    return shaft.standing_height_um if shaft.mounting is Mounting.FROM_BELOW else 0


def _opening(case: Case) -> Check:
    """The piece with the smallest margin speaks for all."""
    opening = case.world.opening
    low, high = sorted((opening.width_um, opening.height_um))
    found = []
    for piece in case.drive.pieces:
        small, middle = smaller_sides_um(piece, standing_um(case.shaft))
        if opening.round:
            need = round_need_um(small, middle)
            margin = low - need
        else:
            margin, need = min((low - small, small), (high - middle, middle))
        found.append((margin, piece.code, small, middle, need))
    margin, code, small, middle, need = min(found)
    facts = {
        "drive": case.drive.sku,
        "piece": code,
        "small_um": small,
        "middle_um": middle,
        "need_um": need,
        "pieces": len(found),
    }
    return Check("entry", "opening", margin, "um", facts)


def _offer_up(case: Case) -> Check:
    need = offer_up_um(case.drive, case.shaft)
    facts = {"drive": case.drive.sku, "shaft": case.shaft.sku, "need_um": need}
    return Check("entry", "offer-up", case.world.depth_below_deck_um - need, "um", facts)
