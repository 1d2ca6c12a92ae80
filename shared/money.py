"""Amounts of money: whole minor units and an ISO 4217 code, never converted. Pure: no Django import.

1234.50 EUR is ``Money(123450, "EUR")``; the yen has no minor unit, so 1500 JPY is ``Money(1500, "JPY")``; the
Kuwaiti dinar has three places. Outside, in JSON, an amount is text: ``{"amount": "1234.50", "currency":
"EUR"}``.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from shared.errors import FaultyInput
from shared.words import N_

# ISO 4217, active codes with a minor unit, as of 2026-01-01. Codes without one (metals, testing, bond units)
# cannot price a part and are left out.
_WITH_NO_PLACES = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_WITH_THREE_PLACES = "BHD IQD JOD KWD LYD OMR TND"
_WITH_FOUR_PLACES = "CLF UYW"
_WITH_TWO_PLACES = """
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW
CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF
IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK
MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP
SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XAD XCD XCG
YER ZAR ZMW ZWG
"""

PLACES: Mapping[str, int] = {
    code: places
    for places, codes in enumerate(
        (_WITH_NO_PLACES, "", _WITH_TWO_PLACES, _WITH_THREE_PLACES, _WITH_FOUR_PLACES)
    )
    for code in codes.split()
}
"""Decimal places of the minor unit, by currency code."""


class UnknownCurrency(FaultyInput):
    code = "unknown-currency"
    title = N_("Unknown currency")
    sentence = N_("{given} is not a currency code of ISO 4217, such as EUR or USD.")


class NotAnAmount(FaultyInput):
    code = "not-an-amount"
    title = N_("Not an amount of money")
    sentence = N_('{given} is not an amount. Write it as text, with a point and no separators: "1234.50".')


class AmountTooFine(FaultyInput):
    code = "amount-too-fine"
    title = N_("An amount with too many places")
    sentence = N_("{given} has more decimal places than {currency} has: {places}.")


class NotMoney(FaultyInput):
    code = "not-money"
    title = N_("Not a price")
    sentence = N_('A price is written {{"amount": "1234.50", "currency": "EUR"}}, with nothing else beside.')


_AMOUNT = re.compile(r"(-?)([0-9]{1,12})(?:\.([0-9]{1,6}))?")


def places_of(currency: object) -> int:
    """Decimal places of ``currency``; ``UnknownCurrency`` when it is not an active ISO 4217 code."""
    if not isinstance(currency, str) or currency not in PLACES:
        raise UnknownCurrency(given=str(currency))
    return PLACES[currency]


@dataclass(frozen=True, slots=True)
class Money:
    """``minor`` units (cents) of ``currency`` (ISO 4217). May be negative: a difference, a refund."""

    minor: int
    currency: str

    def __post_init__(self) -> None:
        places_of(self.currency)

    def __add__(self, other: "Money") -> "Money":
        if self.currency != other.currency:
            raise ValueError(f"{self.currency} and {other.currency} are not added: nothing is converted.")
        return Money(self.minor + other.minor, self.currency)

    def times(self, count: int) -> "Money":
        return Money(self.minor * count, self.currency)

    @property
    def amount(self) -> str:
        """The amount as JSON carries it, with all places of its currency: ``1234.50``."""
        return format_amount(self.minor, self.currency)

    def as_json(self) -> dict[str, str]:
        return {"amount": self.amount, "currency": self.currency}

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"


def format_amount(minor: int, currency: str) -> str:
    """Minor units as text: 123450 of EUR is ``1234.50``, 1500 of JPY ``1500``, -5 of EUR ``-0.05``."""
    places = places_of(currency)
    sign, digits = ("-" if minor < 0 else ""), str(abs(minor)).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"


def parse_amount(given: object, currency: str) -> Money:
    """Read decimal text as ``currency``. ``1234.5`` and ``1234.50`` of EUR are the same.

    Raises ``UnknownCurrency``, ``NotAnAmount`` or ``AmountTooFine``; nothing is rounded.
    """
    places = places_of(currency)
    found = _AMOUNT.fullmatch(given) if isinstance(given, str) else None
    if not found:
        raise NotAnAmount(given=str(given))
    sign, whole, part = found[1], found[2], found[3] or ""
    if len(part) > places:
        raise AmountTooFine(given=found[0], currency=currency, places=places)
    minor = int(whole + part.ljust(places, "0"))
    return Money(-minor if sign else minor, currency)


def read_money(given: object) -> Money:
    """Read the JSON form ``{"amount": "1234.50", "currency": "EUR"}``; pointers name the member at fault.

    Raises ``NotMoney`` for another shape, else what ``parse_amount`` raises.
    """
    if not isinstance(given, Mapping) or set(given) != {"amount", "currency"}:
        raise NotMoney
    try:
        places_of(given["currency"])
    except UnknownCurrency as fault:
        raise fault.under("currency") from None
    try:
        return parse_amount(given["amount"], given["currency"])
    except FaultyInput as fault:
        raise fault.under("amount") from None
