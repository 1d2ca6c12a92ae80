"""Ways to spoil an answer in one place, so that it says something false.

Each returns the spoiled answer, or None where the answer has nothing to spoil in this way or what it would
then say might happen to be true. What is false is known from the answer's own kind (a survey's bounds, a
price that the parts add up to) or asked of the gates, never of the checker.
"""

from collections.abc import Callable, Mapping
from random import Random

from catalog.resolver.answer import Answer
from catalog.resolver.parts import Catalog
from tests.resolver.spoiling import covers, failing, lists, witnesses

Spoiling = Callable[[Random, Catalog, Answer], Answer | None]

_ALL: tuple[Spoiling, ...] = (
    covers.stretch_shortened,
    covers.stretch_begins_later,
    covers.stretch_beyond_the_band,
    covers.cover_row_dropped,
    covers.datum_shortened,
    covers.clocking_blocked,
    covers.clocking_not_the_drives,
    covers.cover_spacer_swapped,
    covers.covering_kit_unlisted,
    covers.in_cover_said_wrongly,
    failing.failure_row_dropped,
    failing.failing_check_replaced,
    failing.failing_check_forgotten,
    failing.missing_link_replaced,
    failing.failing_drive_renamed,
    failing.failing_hand_turned,
    witnesses.failing_world_passes,
    witnesses.passing_world_fails,
    witnesses.passing_world_outside,
    witnesses.failing_world_outside,
    witnesses.passing_kit_fails,
    witnesses.passing_clocking_not_the_drives,
    witnesses.passing_cut_wrong,
    lists.kit_called_sure,
    lists.sure_kit_called_possible,
    lists.kit_listed_twice,
    lists.spacer_swapped,
    lists.part_replaced_by_a_stranger,
    lists.switch_left_out,
    lists.circumstance_left_out,
    lists.circumstance_invented,
    lists.price_changed,
    lists.lead_time_changed,
    lists.band_widened,
    lists.depth_lowered,
    lists.margin_raised,
    lists.room_raised,
    lists.figure_left_out,
    lists.setting_called_sure,
    lists.setting_called_unsure,
    lists.sure_setting_left_out,
    lists.setting_not_the_drives,
    lists.cut_lengthened,
    lists.cut_sureness_turned,
    lists.core_called_sure,
    lists.sure_core_called_possible,
    lists.core_price_changed,
    lists.cheapest_raised,
    lists.dearest_raised,
    lists.dearest_below_cheapest,
    lists.price_of_a_depends_closed,
    lists.verdict_changed,
    lists.survey_narrowed,
)

SPOILINGS: Mapping[str, Spoiling] = {one.__name__: one for one in _ALL}
