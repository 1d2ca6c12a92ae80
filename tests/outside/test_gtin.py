"""Check digits of GTINs against GS1's own worked values.

Source: GS1, How to calculate a check digit manually (629104150021 gives 3); GS1 UK leaflet on barcodes
(501234567890 gives 0); GS1 General Specifications, GTIN-14 from GTIN-13 by an indicator before its first
twelve digits and a new check digit (16291041500210). Kind: published.
"""

import pytest
from django.db import IntegrityError, connection, transaction

from catalog.package.faults import GtinCheckDigit
from catalog.package.kinds import Gtin, gtin_14

PUBLISHED = ["6291041500213", "5012345678900", "16291041500210"]
GTIN = Gtin(about="")


@pytest.mark.parametrize("gtin", PUBLISHED)
def test_the_published_check_digit_and_no_other_is_right(gtin: str) -> None:
    assert GTIN.read(gtin) == gtin
    for digit in set("0123456789") - {gtin[-1]}:
        with pytest.raises(GtinCheckDigit) as fault:
            GTIN.read(gtin[:-1] + digit)
        assert fault.value.data["expected"] == gtin[-1]


def test_a_gtin_14_is_its_gtin_13_with_an_indicator() -> None:
    """The indicator takes part in the check digit, so it is another number, not the same with a zero."""
    assert gtin_14("6291041500213") == "06291041500213"
    assert GTIN.read("06291041500213") == "06291041500213"
    with pytest.raises(GtinCheckDigit):
        GTIN.read("16291041500213")


@pytest.mark.django_db
@pytest.mark.parametrize("gtin", PUBLISHED)
def test_the_database_agrees(gtin: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute("INSERT INTO catalog_maker (code, name) VALUES ('maker', 'Maker')")
        for number, digit in enumerate("0123456789"):
            values = [f"SKU-{number}", gtin[:-1] + digit]
            if digit == gtin[-1]:
                cursor.execute(INSERT, values)
                continue
            with pytest.raises(IntegrityError, match="parts_gtin_check_digit"), transaction.atomic():
                cursor.execute(INSERT, values)


INSERT = (
    "INSERT INTO catalog_part (sku, kind, maker, name, gtin, status)"
    " VALUES (%s, 'switch', 'maker', 'Switch', %s, 'current')"
)
