"""A rival: OR-tools CP-SAT, one model per question, on the same pre-reduced rows.

Untuned beyond leaving out, before the model is made, every core that fails by itself: what remains for the
solver is to choose core, stack and their sum, at the least price. Making the model is part of its time.
"""

from collections import defaultdict
from collections.abc import Iterable

from ortools.sat.python import cp_model

from benchmarks.reduced import CoreRow, FixedWorld, Reduced, Signature, StackRow

Found = tuple[str, int | None]

UNPRICED_MINOR = 10**9
"""What an unpriced part counts in the objective: more than any kit costs."""


class SolverRival:
    """The rows by signature and by flange, as the compiled catalog has them."""

    def __init__(self, reduced: Reduced) -> None:
        self.reduced = reduced
        self.by_number = {number: signature for signature, number in reduced.signatures.items()}
        self.stacks: dict[int, list[StackRow]] = defaultdict(list)
        for stack in reduced.stacks():
            self.stacks[stack.flange].append(stack)
        self.fills = {(fill.drive, fill.control_mv): fill.price for fill in reduced.fills()}
        self._cores: dict[Signature, tuple[CoreRow, ...]] = {}

    def prepare(self, worlds: Iterable[FixedWorld]) -> None:
        """Have the rows of the signatures asked about at hand, as the resolver has them."""
        for world in worlds:
            signature = self.by_number[world.signature]
            if signature not in self._cores:
                self._cores[signature] = tuple(self.reduced.cores_of(signature))

    def one(self, world: FixedWorld) -> Found:
        """Verdict and cheapest kit of one fixed world."""
        if not world.possible:
            return "no", None
        cores = [core for core in self._cores[self.by_number[world.signature]] if self._suits(core, world)]
        model = cp_model.CpModel()
        core_vars = [(core, model.new_bool_var("")) for core in cores]
        stacks = [
            stack for flange in sorted({core.flange for core in cores}) for stack in self.stacks[flange]
        ]
        stack_vars = [(stack, model.new_bool_var("")) for stack in stacks]
        model.add_exactly_one(var for _, var in core_vars)
        model.add_exactly_one(var for _, var in stack_vars)
        for flange in {core.flange for core in cores}:
            of_flange = sum(var for core, var in core_vars if core.flange == flange)
            model.add(of_flange == sum(var for stack, var in stack_vars if stack.flange == flange))
        length = world.deck + sum(stack.thickness * var for stack, var in stack_vars)
        model.add(length >= sum(core.low * var for core, var in core_vars))
        model.add(length <= sum(core.high * var for core, var in core_vars))
        used = sum(core.height * var for core, var in core_vars)
        model.add(used + length - world.deck <= world.depth)
        prices = [(self._price(core, world), var) for core, var in core_vars]
        prices += [(_counted(stack.price), var) for stack, var in stack_vars]
        model.minimize(sum(price * var for price, var in prices))
        return _solved(model)

    def _suits(self, core: CoreRow, world: FixedWorld) -> bool:
        passes = (
            core.round <= world.narrow
            if world.is_round
            else core.narrow <= world.narrow and core.wide <= world.wide
        )
        return (
            passes
            and core.motor_mv == world.motor_mv
            and core.side in world.sides
            and core.lift <= world.depth
            and core.footprint <= world.pad
            and world.torque_least <= core.torque <= world.torque_most
            and (core.reversible or not world.both_ways)
            and core.press_ms >= world.press_ms
            and (core.drive, world.control_mv) in self.fills
        )

    def _price(self, core: CoreRow, world: FixedWorld) -> int:
        return _counted(core.price) + _counted(self.fills[core.drive, world.control_mv])


def _counted(price: int | None) -> int:
    return UNPRICED_MINOR if price is None else price


def _solved(model: cp_model.CpModel) -> Found:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status != cp_model.OPTIMAL:
        return "no", None
    price = round(float(solver.objective_value))
    return "yes", None if price >= UNPRICED_MINOR else price
