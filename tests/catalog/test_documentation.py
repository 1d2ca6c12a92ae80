"""The README of the package says what the declaration says."""

from catalog.package import RESOURCES
from catalog.package.documentation import document
from catalog.package.sources import LARGEST_TABLE, LONGEST_LINE
from shared.places import PROJECT

README = PROJECT / "catalog" / "package" / "README.md"


def test_every_resource_and_column_is_documented_as_it_is() -> None:
    text = README.read_text()
    assert text.endswith(document() + "\n")
    for resource in RESOURCES:
        assert f"`{resource.path}`" in text
        assert all(f"| `{column.name}` |" in text for column in resource.columns)


def test_the_limits_are_those_of_the_reader() -> None:
    text = README.read_text()
    assert f"{LARGEST_TABLE >> 20} MiB" in text
    assert f"{LONGEST_LINE:,} characters" in text
    assert f"{len(RESOURCES)} tables in CSV" in text


def test_every_column_says_what_it_is() -> None:
    for resource in RESOURCES:
        assert resource.about.endswith(".")
        for column in resource.columns:
            assert column.kind.about
            assert column.kind.in_words
