"""The kinds of value that lines ask for. Each reader loads what it needs when the first text is read."""

from __future__ import annotations

from collections.abc import Callable

from broachplan.questions.line import ValueKind, Values


def _limits(text: str, what: str, _: Values) -> object:
    from broachplan.standards.iso_286 import read_sized

    return read_sized(text, what)


def _length(text: str, what: str, _: Values) -> object:
    from broachplan.lengths import parse_length

    return parse_length(text, what)


def _figure(quantity: str) -> Callable[[str, str, Values], object]:
    def read(text: str, what: str, _: Values) -> object:
        from broachplan.tooling.figures import Quantity
        from broachplan.tooling.measures import read_figure

        return read_figure(Quantity(quantity), text, what)

    return read


def _web(text: str, what: str, _: Values) -> object:
    from broachplan.lengths import parse_length
    from broachplan.tooling.web_over import is_over, read_over

    return read_over(text) if is_over(text) else parse_length(text, what)


def _piece_kind(text: str, _what: str, _: Values) -> object:
    from broachplan.tooling.figures import read_kind

    return read_kind(text)


def _within(text: str, what: str, _: Values) -> object:
    from broachplan.crib.words import read_within

    return read_within(text, what)


def _yes_or_no(text: str, what: str, _: Values) -> object:
    from broachplan.errors import InputError

    word = text.strip().lower()
    if word not in ("yes", "no", ""):
        raise InputError(what, "write yes or no", read=text)
    return word == "yes"


def _deviations(text: str, _what: str, _: Values) -> object:
    from broachplan.lengths import System
    from broachplan.questions.texts import read_deviations

    return read_deviations(text, System.INCH)


def _standard(text: str, _what: str, _: Values) -> object:
    from broachplan.keyways.key import read_standard

    return read_standard(text)


def _shape(text: str, _what: str, _: Values) -> object:
    from broachplan.keyways.key import read_shape

    return read_shape(text)


def _fit(text: str, _what: str, _: Values) -> object:
    from broachplan.keyways.key import read_fit

    return read_fit(text)


def _key(text: str, _what: str, values: Values) -> object:
    from broachplan.keyways.key import read_named_key

    return read_named_key(text, values.get("standard", ""))


def _hub_key(text: str, _what: str, values: Values) -> object:
    from broachplan.keyways.key import read_key, read_named_key

    return read_key(text, read_named_key(values.get("key", ""), values.get("standard", "")).standard)


def _number(text: str, _what: str, _: Values) -> object:
    from broachplan.keyways.key import read_number

    return read_number(text)


def _hardness(text: str, _what: str, _: Values) -> object:
    from broachplan.tooling.hub import parse_hardness

    return parse_hardness(text)


def _material(text: str, _what: str, _: Values) -> object:
    from broachplan.tooling.materials import find_material

    return find_material(text)


def _stack(text: str, _what: str, _: Values) -> object:
    from broachplan.tooling.hub import read_stack

    return read_stack(text)


def _bore_form(text: str, _what: str, _: Values) -> object:
    from broachplan.tooling.hub import read_bore_form

    return read_bore_form(text)


def _how_many(text: str, _what: str, _: Values) -> object:
    from broachplan.questions.texts import read_plans

    return read_plans(text)


def _tag(text: str, _what: str, _: Values) -> object:
    from broachplan.tooling.tags import checked_tag

    return checked_tag(text)


def _day(text: str, what: str, _: Values) -> object:
    from broachplan.crib.words import read_day

    return read_day(text, what)


def _day_ahead(text: str, what: str, _: Values) -> object:
    from datetime import date

    from broachplan.crib.words import read_day

    return read_day(text, what, today=date.min)


def _condition(text: str, _what: str, _: Values) -> object:
    from broachplan.crib.words import read_condition

    return read_condition(text)


def _condition_kept(text: str, _what: str, _: Values) -> object:
    from broachplan.crib.words import read_condition

    return read_condition(text, inspected=False)


def _whole(text: str, what: str, _: Values) -> object:
    from broachplan.crib.wear import read_count

    return read_count(text, what)


def _cuts(text: str, _what: str, _: Values) -> object:
    from broachplan.crib.wear import read_cuts

    return read_cuts(text)


def _angle(text: str, what: str, _: Values) -> object:
    from broachplan.crib.wear import read_angle

    return read_angle(text, what)


def _name(text: str, what: str, _: Values) -> object:
    from broachplan.crib.words import LONGEST_NAME, checked_words

    return checked_words(text, what, LONGEST_NAME)


def _words(text: str, what: str, _: Values) -> object:
    from broachplan.crib.words import checked_words

    return checked_words(text, what)


def _file(text: str, what: str, _: Values) -> object:
    from broachplan.crib.words import checked_words

    return checked_words(text, what, 1000)


def _speed(text: str, what: str, _: Values) -> object:
    from broachplan.quantities import parse_speed

    return parse_speed(text, what)


def _torque(text: str, _what: str, _: Values) -> object:
    from broachplan.quantities import parse_torque

    return parse_torque(text)


def _power(text: str, _what: str, _: Values) -> object:
    from broachplan.quantities import parse_power

    return parse_power(text)


def _stress(text: str, what: str, _: Values) -> object:
    from broachplan.quantities import parse_pressure

    return parse_pressure(text, what)


def _revolutions(text: str, _what: str, _: Values) -> object:
    from broachplan.questions.texts import read_revolutions

    return read_revolutions(text)


def _safety(text: str, _what: str, _: Values) -> object:
    from broachplan.questions.texts import read_safety

    return read_safety(text)


def _over(text: str, _what: str, _: Values) -> object:
    from broachplan.questions.texts import read_over

    return read_over(text)


def _run(text: str, _what: str, _: Values) -> object:
    from broachplan.runs.code import read_code

    return read_code(text)


def _numbered(text: str, what: str, _: Values) -> object:
    from broachplan.questions.read_run import read_number

    return read_number(text, what)


def _order(text: str, _what: str, _: Values) -> object:
    from broachplan.questions.read_run import read_order

    return read_order(text)


def _read_each(text: str, _what: str, _: Values) -> object:
    from broachplan.runs.run import read_each_of

    return read_each_of(text, 1)


def _way(text: str, _what: str, _: Values) -> object:
    from broachplan.cut.gauge_ways import read_way

    return read_way(text)


def _tag_list(text: str, what: str, _: Values) -> object:
    from broachplan.crib.words import read_tag_list

    return read_tag_list(text, what)


def _stack_tags(text: str, what: str, _: Values) -> object:
    from broachplan.questions.read_run import read_tags

    return read_tags(text, what)


def _marks(text: str, what: str, _: Values) -> object:
    from broachplan.questions.read_run import read_marks

    return read_marks(text, what)


def _yes(text: str, _what: str, _: Values) -> object:
    return bool(text)


LIMITS = ValueKind("LIMITS", _limits)
LENGTH = ValueKind("LENGTH", _length)
# A length, or a reading over a broach in the slot: 1.4382 in over BR-0250-A.
WEB = ValueKind("LENGTH", _web)
SIZE_WITH_LIMITS = ValueKind("LENGTH", _limits)
DEVIATIONS = ValueKind("LIMITS", _deviations)
STANDARD = ValueKind("NAME", _standard)
SHAPE = ValueKind("NAME", _shape)
FIT = ValueKind("NAME", _fit)
KEY = ValueKind("SIZE", _key)
HUB_KEY = ValueKind("SIZE", _hub_key)
KEY_NUMBER = ValueKind("NUMBER", _number)
AREA = ValueKind("AREA", _figure("area"))
FORCE = ValueKind("FORCE", _figure("force"))
COUNT = ValueKind("N", _figure("count"))
KIND = ValueKind("KIND", _piece_kind)
WITHIN = ValueKind("LENGTH", _within)
YES_OR_NO = ValueKind("yes|no", _yes_or_no)
# Words that are kept with a piece.
SET_NAME = ValueKind("NAME", _words)
PLACE = ValueKind("PLACE", _words)
WITH_WHAT = ValueKind("WHAT", _words)
MEASURED_BY = ValueKind("NAME", _words)
HARDNESS = ValueKind("NUMBER", _hardness)
MATERIAL = ValueKind("NAME", _material)
STACK = ValueKind("N", _stack)
BORE_FORM = ValueKind("NAME", _bore_form)
TAG = ValueKind("TAG", _tag)
TAG_OR_ALL = ValueKind("TAG|all", _words)
HOW_MANY = ValueKind("N|all", _how_many)
DAY = ValueKind("DATE", _day)
SPEED = ValueKind("SPEED", _speed)
TORQUE = ValueKind("TORQUE", _torque)
POWER = ValueKind("POWER", _power)
STRESS = ValueKind("STRESS", _stress)
REVOLUTIONS = ValueKind("N", _revolutions)
SAFETY = ValueKind("N", _safety)
OVER = ValueKind("NAME", _over)
DAY_AHEAD = ValueKind("DATE", _day_ahead)
CONDITION = ValueKind("WORD", _condition)
CONDITION_KEPT = ValueKind("WORD", _condition_kept)
WHOLE = ValueKind("N", _whole)
CUTS = ValueKind("N x N x LENGTH", _cuts)
ANGLE = ValueKind("ANGLE", _angle)
# A tag that may be in any state of being typed: whether there is such a piece, the crib knows.
TYPED_TAG = ValueKind("TAG", _name)
NAME = ValueKind("NAME", _name)
WORK = ValueKind("WORK", _name)
JOB_NUMBER = ValueKind("NUMBER", _name)
NOTE = ValueKind("TEXT", _words)
CAUSE = ValueKind("WORDS", _words)
DRAWER = ValueKind("DRAWER", _words)
HOME = ValueKind("HOME", _words)
VALUE = ValueKind("VALUE", _words)
PATH = ValueKind("PATH", _file)
FOLDER = ValueKind("FOLDER", _file)
# Numbers that the command line reads itself.
PAGE = ValueKind("N", _whole, typed=int, least=1)
LABEL_NUMBER = ValueKind("N", _whole, typed=int)
ACT_NUMBER = ValueKind("ACT", _whole, typed=int, least=1)
COUNT_NUMBER = ValueKind("COUNT", _whole, typed=int, least=1)
FILE = ValueKind("FILE", _file)
PAPER = ValueKind("a4|letter", _words)
RUN = ValueKind("RUN", _run)
NUMBER = ValueKind("N", _numbered)
ORDER = ValueKind("loads|passes", _order)
READ_EACH = ValueKind("every|N", _read_each)
WAY = ValueKind("WAY", _way)
TAG_LIST = ValueKind("TAG,TAG", _tag_list)
STACK_TAGS = ValueKind("TAG,TAG", _stack_tags)
MARKS = ValueKind("M1,M2", _marks)
FIGURE_TEXT = ValueKind("NAME=VALUE", _words)
FLAG = ValueKind("", _yes, flag=True)
