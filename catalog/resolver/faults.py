"""What can be wrong with a question, each with its code and sentence."""

from shared.errors import FaultyInput
from shared.words import N_


class UnknownField(FaultyInput):
    code = "unknown-field"
    title = N_("Unknown field")
    sentence = N_("There is no field {given} here. Known are: {known}.")


class NotAnObject(FaultyInput):
    code = "not-an-object"
    title = N_("Not an object")
    sentence = N_("An object with named fields is expected here, not {given}.")


class NotAList(FaultyInput):
    code = "not-a-list"
    title = N_("Not a list")
    sentence = N_("A list is expected here, not {given}.")


class MissingField(FaultyInput):
    code = "missing-field"
    title = N_("A field is missing")
    sentence = N_("The field {name} is missing.")


class UnknownSchema(FaultyInput):
    code = "unknown-question-schema"
    title = N_("Unknown question schema")
    sentence = N_("This program reads questions of schema 1, not {given}.")


class NotOneOf(FaultyInput):
    code = "not-one-of"
    title = N_("Not one of the choices")
    sentence = N_("{given} is not one of: {choices}.")


class NotText(FaultyInput):
    code = "not-text"
    title = N_("Not a text")
    sentence = N_("A text of at most 80 characters is expected here, not {given}.")


class NotANumberHere(FaultyInput):
    code = "number-expected"
    title = N_("A number is expected")
    sentence = N_("A number is expected here, not {given}.")


class OutOfBounds(FaultyInput):
    code = "out-of-bounds"
    title = N_("Out of bounds")
    sentence = N_("{given} is out of bounds: from {low} to {high}.")


class NegativeLength(FaultyInput):
    code = "negative-length"
    title = N_("A length is below zero")
    sentence = N_("{given} is below zero, and a length cannot be.")


class UnclearLength(FaultyInput):
    code = "unclear-length"
    title = N_("An unclear length")
    sentence = N_(
        "A length is given by value, by value and plus_minus, by at_least, by at_most, or by both of these."
    )


class ContradictoryLength(FaultyInput):
    code = "contradictory-length"
    title = N_("At least is above at most")
    sentence = N_("At least {low} and at most {high} contradict each other.")


class UnclearOpening(FaultyInput):
    code = "unclear-opening"
    title = N_("An unclear opening")
    sentence = N_("An opening is round, with one length, or has a width and a height.")


class TooManySectors(FaultyInput):
    code = "too-many-sectors"
    title = N_("Too many sectors")
    sentence = N_("{given} sectors are given; at most {most} are read.")


class EmptySector(FaultyInput):
    code = "empty-sector"
    title = N_("An empty sector")
    sentence = N_("A sector from {given} to the same bearing is empty. The whole circle is 0 to 360.")


class NotADate(FaultyInput):
    code = "as-of-not-a-date"
    title = N_("Not a date")
    sentence = N_("{given} is not a date. Write it like 2026-06-01.")
