"""Errors, the clock and versioned records."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from inkstep.ground.clock import clock_text, parse_ms, spoken_seconds
from inkstep.ground.errors import InkstepError, InputError, UsageError, shown
from inkstep.ground.records import Fields, RecordKind

CALM = settings(deadline=None)  # a busy machine is no fault of the code

LATEST_MS = 999 * 3_600_000 + 3_599_999


def test_an_error_says_expected_where_got_and_what_to_do() -> None:
    fault = InputError("a digit", where="line 3", got="'x'", hint="write 1 to 9")
    assert str(fault) == "line 3: expected a digit, got 'x'; write 1 to 9"
    assert (fault.expected, fault.where, fault.got, fault.hint) == ("a digit", "line 3", "'x'", "write 1 to 9")
    assert str(InputError("a digit")) == "expected a digit"


def test_exit_codes_and_one_base() -> None:
    assert (InputError("x").exit_code, UsageError("x").exit_code) == (1, 2)
    assert issubclass(InputError, InkstepError) and issubclass(UsageError, InkstepError)


@CALM
@given(st.text(), st.integers(1, 60))
def test_shown_text_is_short_and_fit_for_one_line(text: str, most: int) -> None:
    quoted = shown(text, most)
    assert quoted.isprintable()
    assert len(text) > most or quoted == repr(text)
    kept = text[: most - 1]
    assert len(text) <= most or quoted == repr(f"{kept}…")


@CALM
@given(st.integers(0, LATEST_MS))
@example(0)
@example(59_999)
@example(60_000)
@example(3_599_999)
@example(3_600_000)
def test_a_time_written_and_read_is_the_same(ms: int) -> None:
    assert parse_ms(clock_text(ms)) == ms


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("0", 0),
        ("98.25", 98_250),
        ("0:34.7", 34_700),
        ("0:34,07", 34_070),
        ("12:00", 720_000),
        ("1:02:03.004", 3_723_004),
        ("99999", 99_999_000),
        (" 7 ", 7_000),
    ],
)
def test_times_in_every_form(text: str, ms: int) -> None:
    assert parse_ms(text) == ms


@pytest.mark.parametrize(
    "text", ["", "x", "1:", ":1", "1:60", "1:60:00", "0:34.", "0:34.1234", "-1", "1 2", "٣", "1e3", "1:2:3:4"]
)
def test_what_is_no_time_is_said(text: str) -> None:
    with pytest.raises(InputError, match="expected") as caught:
        parse_ms(text)
    assert caught.value.got == shown(text)


@CALM
@given(st.one_of(st.text(), st.from_regex(r"[0-9:.,]{0,12}", fullmatch=True)))
def test_any_text_is_a_time_or_our_error(text: str) -> None:
    try:
        ms = parse_ms(text)
    except InputError:
        return
    assert ms >= 0
    assert parse_ms(clock_text(ms)) == ms


@CALM
@given(st.integers(0, LATEST_MS), st.integers(0, LATEST_MS))
def test_written_times_of_one_length_sort_as_text(one: int, other: int) -> None:
    first, second = clock_text(one), clock_text(other)
    if len(first) == len(second):
        assert (first < second) == (one < other)


def test_a_negative_time_is_a_fault_of_the_caller() -> None:
    with pytest.raises(ValueError, match="not negative: -1"):
        clock_text(-1)


@pytest.mark.parametrize(
    ("ms", "text"),
    [
        (0, "0 seconds"),
        (949, "0.9 seconds"),
        (1000, "1 second"),
        (1040, "1 second"),
        (3240, "3.2 seconds"),
        (12_000, "12 seconds"),
    ],
)
def test_spoken_seconds(ms: int, text: str) -> None:
    assert spoken_seconds(ms) == text


def from_one(fields: Fields) -> Fields:
    """Version 2 calls ``name`` a ``title``."""
    return {**{key: value for key, value in fields.items() if key != "name"}, "title": fields["name"]}


def from_two(fields: Fields) -> Fields:
    """Version 3 counts."""
    return {**fields, "count": len(fields["title"])}


KIND = RecordKind("inkstep-sample", 3, {1: from_one, 2: from_two})
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
FIELDS = st.dictionaries(st.text().filter(lambda key: key != "record"), JSON, max_size=4)


@CALM
@given(FIELDS)
def test_a_record_written_and_read_is_the_same(fields: dict[str, Any]) -> None:
    text = KIND.dump(fields)
    assert KIND.load(text) == fields
    assert KIND.dump(KIND.load(text)) == text
    assert text.endswith("}\n")
    assert json.loads(text)["record"] == "inkstep-sample/3"


@pytest.mark.parametrize(
    ("version", "fields"),
    [(1, {"name": "abc"}), (2, {"title": "abc"}), (3, {"title": "abc", "count": 3})],
)
def test_every_version_is_brought_to_the_newest(version: int, fields: dict[str, Any]) -> None:
    text = json.dumps({"record": f"inkstep-sample/{version}", "unknown": [1, {"kept": None}], **fields})
    assert KIND.load(text) == {"title": "abc", "count": 3, "unknown": [1, {"kept": None}]}


@pytest.mark.parametrize("number", ["4", "0", "100000", "9" * 5000], ids=lambda number: number[:9])
def test_another_version_than_those_known_is_refused(number: str) -> None:
    with pytest.raises(InputError) as caught:
        KIND.load(json.dumps({"record": f"inkstep-sample/{number}"}), "plan.json")
    assert str(caught.value).startswith("plan.json: expected")


def test_a_newer_version_says_to_update() -> None:
    with pytest.raises(InputError) as caught:
        KIND.load('{"record": "inkstep-sample/4"}', "plan.json")
    assert str(caught.value) == ("plan.json: expected version 1 to 3, got 4; a newer Inkstep wrote it; update this one")


@pytest.mark.parametrize(
    "text",
    [
        *("", "{", "[]", "3", '"x"', "{}", '{"record": null}', '{"record": "other/1"}', '{"record": "inkstep-sample"}'),
        *('{"record": "inkstep-sample/"}', '{"record": "inkstep-sample/x"}', '{"record": "inkstep-sample/-1"}'),
        *('{"record": "inkstep-sample/²"}', '{"record": ["inkstep-sample/1"]}'),
        *("[" * 100_000, '{"a": ' + "1" * 5000 + "}"),
    ],
    ids=lambda text: text[:30],
)
def test_what_is_no_such_record_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        KIND.load(text)


@CALM
@given(st.one_of(st.text(), JSON.map(json.dumps), st.binary().map(lambda data: data.decode("latin-1"))))
def test_noise_is_refused_with_our_error(text: str) -> None:
    with pytest.raises(InputError):
        KIND.load(text)
