"""One small catalog with one question, drawn from a seed, as the property tests use them."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from itertools import count
from random import Random
from typing import Any

from catalog.resolver.answer import Answer
from catalog.resolver.answer_json import as_json
from catalog.resolver.compile import Compiled, compile_catalog
from catalog.resolver.facts import Survey, survey_of
from catalog.resolver.kits import Kit
from catalog.resolver.listing import Lister
from catalog.resolver.parts import Catalog
from catalog.resolver.question import Question, read_question
from catalog.resolver.search import answer, scenes_of
from tests.resolver.small import small_catalog, small_question
from tests.resolver.small.worlds import worlds

Json = dict[str, Any]

LEAST: Json = {"schema": 1, "winch": {"model": "capper-40"}, "as_of": "2026-06-01"}
"""The least that is a question, about the winch of ``one_kit.py``."""


def asked(**sections: Any) -> Json:
    """The least question with some sections stated or replaced."""
    return LEAST | sections


@dataclass(frozen=True)
class Drawn:
    catalog: Catalog
    data: Json

    @classmethod
    def from_seed(cls, seed: int) -> "Drawn":
        rng = Random(seed)
        catalog = small_catalog(rng)
        return cls(catalog, small_question(rng, catalog))

    @classmethod
    def first(cls, seed: int, suits: Callable[["Drawn"], bool]) -> "Drawn":
        """The first from this seed on that suits, so that no example is thrown away."""
        return next(drawn for number in count(seed) if suits(drawn := cls.from_seed(number)))

    @cached_property
    def compiled(self) -> Compiled:
        return compile_catalog(self.catalog)

    @cached_property
    def question(self) -> Question:
        return read_question(self.data)

    @cached_property
    def survey(self) -> Survey:
        return survey_of(self.question, self.catalog)

    @cached_property
    def answer(self) -> Answer:
        return answer(self.compiled, self.question)

    @cached_property
    def worlds(self) -> int:
        """About how many worlds the definition would have to look at."""
        return worlds(self.catalog, self.data)

    @property
    def text(self) -> str:
        """The whole answer as the text that is sent."""
        return json.dumps(as_json(self.answer, self.catalog))

    @cached_property
    def sure_kits(self) -> set[Kit]:
        """Every sure kit, listed or not."""
        scenes = scenes_of(self.compiled, self.question, self.survey, pruned=False)
        return set(Lister(scenes, self.question).every_sure_kit())

    def asked(self, **sections: Json) -> "Drawn":
        """The same catalog, asked with some sections of the question replaced."""
        return Drawn(self.catalog, self.data | sections)


def exact(text: str) -> Any:  # noqa: ANN401 - parsed JSON
    return json.loads(text, parse_float=Decimal)
