"""What can be wrong with a catalog package, each with a published code and one sentence.

Faults of a single figure that are not peculiar to packages (``comma-in-number``, ``number-too-long``,
``finer-than-kept``, ``unknown-currency``, ``not-an-amount``, ``amount-too-fine``) come from ``shared``.
"""

from shared.errors import FaultyInput
from shared.words import N_


class FaultyPackage(FaultyInput):
    code = "faulty-package"
    title = N_("The catalog package has mistakes")
    sentence = N_("The catalog package has {count} mistakes; the first is: {first}")
    advice = N_(
        "Run import_catalog with --check, correct every mistake that it lists, and import the whole again."
    )


# --- the folder and its datapackage.json --------------------------------------------------------------------


class NotJson(FaultyInput):
    code = "not-json"
    title = N_("The description is not JSON")
    sentence = N_("datapackage.json is not an object of JSON in UTF-8: {reason}.")


class WrongProperty(FaultyInput):
    code = "wrong-property"
    title = N_("A property of the description is not usable")
    sentence = N_("The property {name} must be {expected}.")


class UnknownProperty(FaultyInput):
    code = "unknown-property"
    title = N_("An unknown property in the description")
    sentence = N_("The property {name} is not known here, so it would be lost; leave it out.")


class MissingResource(FaultyInput):
    code = "missing-resource"
    title = N_("A resource is missing")
    sentence = N_("The resource {name} is missing; a table without rows is given with its header alone.")


class UnknownResource(FaultyInput):
    code = "unknown-resource"
    title = N_("An unknown resource")
    sentence = N_("The resource {name} is not known in this version of the package format.")


class RepeatedResource(FaultyInput):
    code = "repeated-resource"
    title = N_("A resource or file is named twice")
    sentence = N_("{name} is named twice.")


class UnsafePath(FaultyInput):
    code = "unsafe-path"
    title = N_("A path leads out of the package")
    sentence = N_("The path {path} is not a plain relative path to a file inside the package's folder.")


class MissingFile(FaultyInput):
    code = "missing-file"
    title = N_("A file is missing")
    sentence = N_("The file {path} is not there or cannot be read.")


class FileTooLarge(FaultyInput):
    code = "file-too-large"
    title = N_("A file is too large")
    sentence = N_("The file is longer than {limit} bytes.")


class OtherHash(FaultyInput):
    code = "other-hash"
    title = N_("A file is not the one that was described")
    sentence = N_("The file's SHA-256 is {found}, not the one that datapackage.json states.")


class OtherLength(FaultyInput):
    code = "other-length"
    title = N_("A file has another length than described")
    sentence = N_("The file has {found} bytes, datapackage.json states {given}.")


class OtherFields(FaultyInput):
    code = "other-fields"
    title = N_("The schema in the description has other fields")
    sentence = N_("The schema given for {name} does not list exactly the fields of this resource.")


# --- lines and cells ----------------------------------------------------------------------------------------


class NotUtf8(FaultyInput):
    code = "not-utf-8"
    title = N_("A file is not UTF-8")
    sentence = N_("From this line on the file is not UTF-8; nothing after it was read.")


class LineTooLong(FaultyInput):
    code = "line-too-long"
    title = N_("A line is too long")
    sentence = N_("The line is longer than {limit} characters; nothing after it was read.")


class BadQuoting(FaultyInput):
    code = "bad-quoting"
    title = N_("Quotation marks do not match")
    sentence = N_("The line is not CSV as RFC 4180 has it: {reason}.")


class ColumnCount(FaultyInput):
    code = "column-count"
    title = N_("A line has too few or too many cells")
    sentence = N_("The line has {found} cells, the header has {expected}.")


class NoHeader(FaultyInput):
    code = "no-header"
    title = N_("A file has no header")
    sentence = N_("The file is empty; its first line must name the columns.")


class UnknownColumn(FaultyInput):
    code = "unknown-column"
    title = N_("An unknown column")
    sentence = N_("The column {name} is not known in this resource.")


class MissingColumn(FaultyInput):
    code = "missing-column"
    title = N_("A column is missing")
    sentence = N_("The column {name} is missing.")


class RepeatedColumn(FaultyInput):
    code = "repeated-column"
    title = N_("A column is named twice")
    sentence = N_("The column {name} is named twice.")


class Needed(FaultyInput):
    code = "needed"
    title = N_("A value is needed")
    sentence = N_("{column} must not be empty.")


class Unprintable(FaultyInput):
    code = "unprintable-character"
    title = N_("A character that no text may hold")
    sentence = N_("{given} holds a control or other invisible character.")


class SpaceAround(FaultyInput):
    code = "space-around"
    title = N_("Spaces around a value")
    sentence = N_("{given} begins or ends with a space.")


class TextTooLong(FaultyInput):
    code = "text-too-long"
    title = N_("A text is too long")
    sentence = N_("The text has {found} characters; at most {limit} are kept.")


class NotACode(FaultyInput):
    code = "not-a-code"
    title = N_("Not a code")
    sentence = N_("{given} is not a code: small letters a-z and digits, in groups joined by single hyphens.")


class NotASku(FaultyInput):
    code = "not-a-sku"
    title = N_("Not a SKU")
    sentence = N_("{given} is not a SKU: printable ASCII characters without spaces.")


class NotADecimal(FaultyInput):
    code = "not-a-decimal"
    title = N_("Not a plain decimal number")
    sentence = N_("{given} is not a number written with digits and at most one point, such as 38 or -2.5.")


class ExponentInNumber(FaultyInput):
    code = "exponent-in-number"
    title = N_("A number with a power of ten")
    sentence = N_("{given} is written with a power of ten; write it out.")


class TooSmall(FaultyInput):
    code = "too-small"
    title = N_("A figure is too small")
    sentence = N_("{given} is below {limit}, the least allowed.")


class TooLarge(FaultyInput):
    code = "too-large"
    title = N_("A figure is too large")
    sentence = N_("{given} is above {limit}, the most allowed.")


class NotAChoice(FaultyInput):
    code = "not-a-choice"
    title = N_("Not one of the choices")
    sentence = N_("{given} is not one of: {choices}.")


class NotADate(FaultyInput):
    code = "not-a-date"
    title = N_("Not a date")
    sentence = N_("{given} is not a date from 1900 to 2199 written as YYYY-MM-DD.")


class NotAGtin(FaultyInput):
    code = "not-a-gtin"
    title = N_("Not a GTIN")
    sentence = N_("{given} is not a GTIN: 8, 12, 13 or 14 digits.")


class GtinCheckDigit(FaultyInput):
    code = "gtin-check-digit"
    title = N_("A GTIN whose check digit is wrong")
    sentence = N_("{given} has a wrong check digit; the last digit would have to be {expected}.")


# --- rows and tables ----------------------------------------------------------------------------------------


class NeededWhen(FaultyInput):
    code = "needed-when"
    title = N_("A value is needed in this row")
    sentence = N_("{column} must not be empty when {condition}.")


class EmptyWhen(FaultyInput):
    code = "empty-when"
    title = N_("A value has no meaning in this row")
    sentence = N_("{column} must be empty when {condition}.")


class OutOfOrder(FaultyInput):
    code = "out-of-order"
    title = N_("Two figures are out of order")
    sentence = N_("{low} ({low_value}) must {relation} {high} ({high_value}).")


class ExactlyOne(FaultyInput):
    code = "exactly-one"
    title = N_("Exactly one of several values must be given")
    sentence = N_("Exactly one of {columns} must be given, and {found} are.")


class MustDiffer(FaultyInput):
    code = "must-differ"
    title = N_("Two values must differ")
    sentence = N_("{first} and {second} must not be the same.")


class OtherSuppliedHand(FaultyInput):
    code = "other-supplied-hand"
    title = N_("A drive is supplied with another hand")
    sentence = N_("A drive whose hand is {hand} must be supplied as {expected}, not {given}.")


class UnreadableSerial(FaultyInput):
    code = "unreadable-serial"
    title = N_("A serial that its rule cannot read")
    sentence = N_("{given} is not a serial that the rule {rule} can read ({example}).")


class DuplicateKey(FaultyInput):
    code = "duplicate-key"
    title = N_("A key is given twice")
    sentence = N_("{key} was already given in line {line}.")


class DuplicateGtin(FaultyInput):
    code = "duplicate-gtin"
    title = N_("A GTIN is given twice")
    sentence = N_("The GTIN {given} was already given to the part in line {line}.")


class MissingReference(FaultyInput):
    code = "missing-reference"
    title = N_("A reference leads nowhere")
    sentence = N_("{given} is not in {resource}.")


class OtherKind(FaultyInput):
    code = "other-kind"
    title = N_("A part is of another kind")
    sentence = N_("The part {given} is a {found}, and this table is for the kind {expected}.")


class MissingRows(FaultyInput):
    code = "missing-rows"
    title = N_("Rows of another table are missing")
    sentence = N_("{given} has no row in {resource}, and needs one.")


class GapInGears(FaultyInput):
    code = "gap-in-gears"
    title = N_("Gears are not numbered without a gap")
    sentence = N_("Gear {gear} of {model} follows gear {before}; gears are numbered 1, 2, 3 without a gap.")


class RatioNotRising(FaultyInput):
    code = "ratio-not-rising"
    title = N_("The gears' ratios do not rise")
    sentence = N_(
        "The ratio of gear {gear} of {model} is not above that of the gear before; gear 1 is the fast one."
    )


class TripsNotFalling(FaultyInput):
    code = "trips-not-falling"
    title = N_("A breaker's trip times rise with the current")
    sentence = N_(
        "At {percent} % the breaker {sku} would trip later than at {before} %; trip times never rise."
    )


class TwoShaftPieces(FaultyInput):
    code = "two-shaft-pieces"
    title = N_("Two pieces of a drive carry its shaft")
    sentence = N_("More than one piece of the drive {sku} is said to carry the shaft.")


class NotConvertible(FaultyInput):
    code = "not-convertible"
    title = N_("A handing kit for a drive that is not convertible")
    sentence = N_("The drive {given} is not convertible, so no handing kit can change it over.")
