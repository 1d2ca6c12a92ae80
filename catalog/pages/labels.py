"""Short names for codes, as headings and cells of the pages use them. Sentences are ``explain``'s alone."""

from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

Labels = Mapping[str, "str | Promise"]

VERDICTS: Labels = {"yes": _("Yes"), "depends": _("Depends"), "no": _("No")}

STANDINGS: Labels = {"sure": _("fits in every case"), "possible": _("fits in some cases")}

KINDS: Labels = {
    "adapter": _("Base adapter"),
    "shaft": _("Drive shaft"),
    "drive": _("Drive unit"),
    "handing-kit": _("Handing kit"),
    "spacer": _("Spacers"),
    "wedge": _("Wedge"),
    "controller": _("Controller"),
    "breaker": _("Delay breaker"),
    "switch": _("Switches"),
    "winch": _("Powered winch"),
}
"""By kind of part, in the order in which a kit is fitted."""

HANDS: Labels = {
    "none": _("none"),
    "left": _("left"),
    "right": _("right"),
    "convertible": _("convertible"),
    "any": _("any"),
}

STATUSES: Labels = {
    "current": _("current"),
    "last-time-buy": _("last time buy"),
    "withdrawn": _("withdrawn"),
}

PLUGS: Labels = {
    "none": _("no plug"),
    "threaded": _("threaded"),
    "pressed": _("pressed in"),
    "bonded": _("bonded in"),
    "present": _("there"),
    "absent": _("not there"),
}

WISHES: Labels = {
    "in-line": _("in-line"),
    "right-angle": _("right-angle"),
    "price": _("price"),
    "lead-time": _("lead time"),
    "margin": _("margin"),
}

GATES: Labels = {
    "era": _("Era"),
    "reach": _("Reach"),
    "space": _("Space"),
    "entry": _("Entry"),
    "duty": _("Duty"),
    "feed": _("Feed"),
    "slope": _("Slope"),
    "wiring": _("Wiring"),
    "battery": _("Batteries"),
    "hydraulic": _("Hydraulics"),
    "wishes": _("Wishes"),
    "replacement": _("Replacement"),
}

MARGINS: Labels = {
    "reach.length-short": _("clear of over-engaging"),
    "reach.length-long": _("clear of slipping"),
    "space.depth": _("depth left over"),
    "space.free-radius": _("left round the drive"),
    "space.footprint": _("left of the pad"),
    "entry.opening": _("spare in the opening"),
    "entry.offer-up": _("room to offer up"),
    "duty.torque": _("below the spindle's limit"),
    "duty.working-load": _("below the working load"),
    "duty.pull": _("above the least pull"),
    "duty.press-time": _("beyond the longest press"),
    "feed.controller-current": _("above the peak, controller"),
    "feed.breaker-carry": _("above the peak, breaker"),
    "feed.breaker-size": _("below the largest breaker"),
    "feed.breaker-voltage": _("breaker above charging"),
    "feed.switch-voltage": _("switch above control"),
}
"""What a margin is the margin of, for the checks whose figures stand side by side."""

FAILURES: Labels = {
    "era.replace-only": _("family takes no kit"),
    "era.run-years": _("outside every production run"),
    "era.run-serial": _("serial in no production run"),
    "era.part-not-yet": _("part not yet to be had"),
    "era.part-expired": _("part no longer to be had"),
    "era.part-withdrawn": _("part withdrawn"),
    "era.exception-forbid": _("forbidden by a ruling"),
    "era.exception-require": _("a ruling asks for another part"),
    "reach.base-pattern": _("no adapter for the base"),
    "reach.flange": _("flanges do not mate"),
    "reach.spindle": _("no shaft for the spindle"),
    "reach.plug": _("plug cannot be drawn"),
    "reach.handing-kit": _("not to be had in this hand"),
    "reach.length-short": _("over-engaged"),
    "reach.length-long": _("slips"),
    "reach.cut-length": _("shaft cannot be cut so"),
    "reach.stack-count": _("too many spacers"),
    "reach.stack-height": _("stack too high"),
    "space.depth": _("not deep enough"),
    "space.free-radius": _("no room round the shaft"),
    "space.footprint": _("larger than the pad"),
    "entry.opening": _("does not pass the opening"),
    "entry.offer-up": _("cannot be offered up"),
    "duty.torque": _("too strong for the spindle"),
    "duty.working-load": _("too strong for the winch"),
    "duty.pull": _("too weak"),
    "duty.gears": _("turns one way only"),
    "duty.press-time": _("press too long"),
    "feed.motor-voltage": _("other motor voltage"),
    "feed.controller-motor": _("controller does not suit the motor"),
    "feed.controller-current": _("controller too small"),
    "feed.control-voltage": _("other control voltage"),
    "feed.controller-inputs": _("too few inputs"),
    "feed.breaker-carry": _("breaker trips too soon"),
    "feed.breaker-size": _("breaker too large"),
    "feed.breaker-voltage": _("breaker for less voltage"),
    "feed.switch-voltage": _("switch for less voltage"),
    "feed.switch-count": _("too few switches"),
    "wishes.unmet": _("not as wished"),
}
"""What a failed check is called in a table of many."""


def label(labels: Labels, code: str) -> str:
    """The label of a code; a code that has none stands for itself."""
    return str(labels.get(code, code))
