"""The keys that stand in addresses: how they are matched, and how they are documented."""

from drf_spectacular.utils import OpenApiParameter

from catalog.package.kinds import CODE_PATTERN, LONGEST_CODE, LONGEST_SKU, SKU_PATTERN


class CodeInPath:
    """A code slug. Anything else is an address where there is nothing."""

    regex = CODE_PATTERN.replace("(", "(?:")

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


class SkuInPath(CodeInPath):
    """A part number, which may hold a slash; so nothing can stand after it in an address."""

    regex = SKU_PATTERN


def code_key(what: str, example: str) -> OpenApiParameter:
    return _key("code", f"The {what}'s code.", f"^{CODE_PATTERN}$", LONGEST_CODE, example)


def sku_key(example: str) -> OpenApiParameter:
    return _key("sku", "The part number.", f"^{SKU_PATTERN}$", LONGEST_SKU, example)


def number_key(example: int) -> OpenApiParameter:
    schema = {"type": "integer", "minimum": 1, "maximum": 2**31 - 1, "examples": [example]}
    return OpenApiParameter("number", schema, OpenApiParameter.PATH, description="The revision's number.")


def _key(name: str, about: str, pattern: str, longest: int, example: str) -> OpenApiParameter:
    schema = {"type": "string", "pattern": pattern, "maxLength": longest, "examples": [example]}
    return OpenApiParameter(name, schema, OpenApiParameter.PATH, description=about)
