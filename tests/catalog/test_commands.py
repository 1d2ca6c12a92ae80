"""The keeper's commands: what they print, and with which code they end."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from catalog.management.commands import seed_demo
from catalog.models import Part, Revision
from catalog.package import canonical, read_folder
from shared.models import Organization, Person
from tests.catalog.conftest import Keeper
from tests.catalog.packages import small
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


def say(*arguments: str) -> str:
    said = StringIO()
    call_command(*arguments, stdout=said)
    return said.getvalue()


def stopped(*arguments: str) -> tuple[int, str, str]:
    """Exit code, what was printed, and the last word."""
    said = StringIO()
    with pytest.raises(CommandError) as stop:
        call_command(*arguments, stdout=said)
    return stop.value.returncode, said.getvalue(), str(stop.value)


def test_a_right_package_is_checked_and_nothing_is_written(tmp_path: Path) -> None:
    folder = small().write(tmp_path)
    sha256 = canonical(read_folder(folder).require()).sha256
    said = say("import_catalog", str(folder), "--check")
    assert said.splitlines()[-1].startswith("Right: 1 makers, 2 families")
    assert said.rstrip().endswith(sha256)
    assert not Revision.objects.exists()
    assert json.loads(say("import_catalog", str(folder), "--check", "--json"))["sha256"] == sha256


def test_a_mistake_is_printed_with_its_place(tmp_path: Path) -> None:
    draft = small()
    draft.find("spacers", sku="SP-2")["thickness_mm"] = "2,5"
    code, said, last = stopped("import_catalog", str(draft.write(tmp_path)), "--check")
    assert code == 1
    assert said == (
        "spacers.csv:2:thickness_mm: 2,5 has a comma, which could stand for two things. "
        "Write 2.5 with a point. [comma-in-number]\n"
    )
    assert last == "1 mistake: 1 × comma-in-number. Nothing was written."


def test_no_more_than_a_thousand_mistakes_are_printed(tmp_path: Path) -> None:
    draft = small()
    for number in range(1_200):
        draft.add("makers", code=f"maker-{number}")
    code, said, last = stopped("import_catalog", str(draft.write(tmp_path)), "--check")
    assert (code, len(said.splitlines())) == (1, 1_000)
    assert last.startswith("1200 mistakes (the first 1,000 are listed): 1200 × needed")


def test_an_error_of_the_lint_stops_it(tmp_path: Path) -> None:
    draft = small()
    draft.find("exceptions", code="late-adapter")["sku"] = "SH-1"
    code, said, last = stopped("import_catalog", str(draft.write(tmp_path)), "--check")
    assert code == 1
    assert "[mating-allowance-without-adapter]" in said
    assert "1 finding that stops it" in last


def test_publishing(keeper: Keeper, tmp_path: Path) -> None:
    folder = str(small().write(tmp_path))
    said = say("import_catalog", folder, "--publish", "--by", keeper.person.email.upper(), "--note", "Spring")
    assert "Published as revision 1: 1 makers" in said
    assert Revision.objects.get().note == "Spring"
    assert Part.objects.count() == 12
    again = say("import_catalog", folder, "--publish", "--by", keeper.person.email)
    assert again.startswith("Nothing changed: this is revision 1 already.")
    told = json.loads(say("import_catalog", folder, "--publish", "--by", keeper.person.email, "--json"))
    assert (told["revision"], told["changed"]) == (1, False)


def test_a_published_code_that_is_missing_is_told_when_checking(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    draft.add("spindles", code="spare", name="Spare end")
    keeper.publish(draft.package(tmp_path))
    code, said, _ = stopped("import_catalog", str(small().write(tmp_path)), "--check")
    assert code == 1
    assert said == "spindles.csv:code: spare was published and may not disappear. [published-code-missing]\n"


@pytest.mark.parametrize(
    "arguments",
    [["--publish"], ["--publish", "--by", "nobody@example.org"], ["--check", "--publish"], []],
)
def test_misuse_ends_with_2_or_is_refused(tmp_path: Path, arguments: list[str]) -> None:
    with pytest.raises(CommandError) as stop:
        call_command("import_catalog", str(small().write(tmp_path)), *arguments)
    assert stop.value.returncode in {1, 2}
    assert not Revision.objects.exists()


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    assert stopped("import_catalog", str(tmp_path / "nowhere"), "--check")[0] == 2


def test_somebody_who_keeps_no_catalog(tmp_path: Path) -> None:
    person = PersonFactory.create()
    code, _, last = stopped("import_catalog", str(small().write(tmp_path)), "--publish", "--by", person.email)
    assert code == 2
    assert last.startswith("Only a member of an organization that keeps the catalog")


def test_an_old_revision_is_exported(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    first = keeper.publish(draft.package(tmp_path / "in"))
    draft.find("spacers", sku="SP-2")["max_count"] = "2"
    keeper.publish(draft.package(tmp_path / "in"))
    out = tmp_path / "deep" / "out"
    assert first.revision.sha256 in say("export_catalog", str(out), "--revision", "1")
    assert canonical(read_folder(out).require()).sha256 == first.revision.sha256
    assert sorted(path.suffix for path in out.iterdir()) == [".csv"] * 33 + [".json"]


def test_exporting_what_is_not_there(keeper: Keeper, tmp_path: Path) -> None:
    assert stopped("export_catalog", str(tmp_path / "out"))[0] == 2
    keeper.publish(small().package(tmp_path / "in"))
    code, _, last = stopped("export_catalog", str(tmp_path / "out"), "--revision", "7")
    assert (code, last) == (2, "The catalog has no revision 7.")
    assert not (tmp_path / "out").exists()
    (tmp_path / "file").touch()
    assert stopped("export_catalog", str(tmp_path / "file"))[0] == 2


# --- the demo -----------------------------------------------------------------------------------------------


def test_the_demo_is_published_once() -> None:
    assert say("seed_demo").startswith("Published as revision 1: ")
    person = Person.objects.get()
    assert not person.has_usable_password()
    assert "revision 1 already" in say("seed_demo")
    assert Revision.objects.count() == Person.objects.count() == 1
    assert Revision.objects.get().published_by == person
    assert not Organization.objects.exists(), "outside its own context nobody sees the organization"


def test_a_changed_demo_is_a_new_revision(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    draft = small()
    monkeypatch.setattr(seed_demo, "FOLDER", draft.write(tmp_path))
    say("seed_demo")
    before = draft.find("spacers", sku="SP-2")["max_count"]
    draft.find("spacers", sku="SP-2")["max_count"] = "2"
    draft.write(tmp_path)
    assert say("seed_demo").startswith("Published as revision 2")
    draft.find("spacers", sku="SP-2")["max_count"] = before
    draft.write(tmp_path)
    assert say("seed_demo").startswith("The demo was left out. This is revision 1")
    draft.rows["spindles"].append({"code": "spare", "name": "Spare"})
    draft.rows["spindles"].pop(0)
    draft.write(tmp_path)
    code, _, last = stopped("seed_demo")
    assert code == 1
    assert "not published" in last


def test_the_demo_leaves_another_catalog_alone(keeper: Keeper, tmp_path: Path) -> None:
    keeper.publish(small().package(tmp_path))
    assert say("seed_demo") == "Revision 1 is another catalog; the demo was left out.\n"
    assert Person.objects.count() == 1
