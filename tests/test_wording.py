"""Arguments in words: true to the argument, short enough to be followed by ear, and not always the same."""

from __future__ import annotations

import doctest
import importlib
import random
import re
from collections.abc import Iterator
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC, SMALL, bits
from inkstep.ground.errors import InputError
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.extraction import take_out
from inkstep.reasoning.facts import Fact, is_not
from inkstep.reasoning.goals import cell_goal, digit_goal, places_goal, removal_goal, set_goal
from inkstep.reasoning.lightest import chances, lightest
from inkstep.reasoning.position import Note, Position
from inkstep.reasoning.search import Search
from inkstep.reasoning.techniques import CATALOGUE
from inkstep.reasoning.techniques.base import Case, Technique
from inkstep.reasoning.wording import Run, answer, explain, headline, hints, plain, question, short_reason, teach
from pages import position_of, random_page, small_page
from walkthroughs import named_steps

VOICES = ("page", "spoken")
ROLES = {"", "seen", "held", "goal"}
#: a sentence that is to be followed by ear; our own limit
MOST_WORDS = 52
TECHNIQUES = tuple(dict.fromkeys([*(t.name for t in CATALOGUE), "scanning", "cross-hatching"]))
#: technique names as they may stand in text
NAMED = re.compile(r"naked|hidden|locked|pointing|claiming|wing|fish|scanning|hatching|single", re.I)

#: position of a published textbook example (data/walkthroughs.jsonl names its sources); ours are the arguments
OPENING = "530070000600195000098000060800060003400803001700020006060000280000419005000080079"


def opening(*notes: Note) -> Position:
    return Position(tuple(map(int, OPENING)), notes)


def cell(name: str) -> int:
    return CLASSIC.cell(name)


# -- where the arguments come from ------------------------------------------------------------------------------------


@cache
def people() -> tuple[tuple[Argument, Position], ...]:
    """Arguments for every step that a person named in the published walkthroughs, and all chances of some of these pages."""
    found: list[tuple[Argument, Position]] = []
    for count, step in enumerate(named_steps()):
        found += [(a, step.position) for a in lightest(step.position, step.goal)]
        if count % 4 == 0:
            found += [(a, step.position) for a in chances(step.position)]
    return tuple(found)


@cache
def cases() -> tuple[tuple[Argument, Position], ...]:
    """One argument for each pattern of each case that holds, made of that pattern alone."""
    return tuple(
        (argument, position_of(case.stands))
        for technique in CATALOGUE
        for case in technique.holds
        for argument in of_case(technique, case)
    )


def of_case(technique: Technique, case: Case) -> Iterator[Argument]:
    search = Search(position_of(case.stands), catalogue=(technique,))
    view = search.view
    fact = Fact.parse(case.concludes)
    for pattern in technique.find(view, view.known):
        removed = pattern.gives & view.removal(fact.cell, fact.digit)
        hit = pattern.settles == (fact.cell, fact.digit) if fact.holds else removed
        found = search.weigh(pattern) if hit else None
        if found:
            yield take_out(search, found, (fact,))


def every() -> tuple[tuple[Argument, Position], ...]:
    return (*cases(), *people())


def text(argument: Argument, position: Position, voice: str = "page", variety: int | None = None) -> str:
    return plain(explain(argument, position, voice="spoken" if voice == "spoken" else "page", variety=variety))


def sentences(said: str) -> list[str]:
    return re.split(r"(?<=[.?]) ", said)


# -- what a text names ------------------------------------------------------------------------------------------------

_AT = re.compile(r"row (\d), column (\d)", re.I)
_SHORT = re.compile(r"r(\d)c(\d)")
_NUMBERS = r"(\d(?:, \d)*(?: and \d)?)"
_IN_LINE = re.compile(rf"(row|column)s? {_NUMBERS} of (row|column) (\d)", re.I)
_HOUSES = re.compile(rf"(row|column|box)(?:e?s)? {_NUMBERS}", re.I)


def named_cells(said: str) -> tuple[set[int], str]:
    """The cells a text names, and the text without these names."""
    cells = {cell(f"r{r}c{c}") for r, c in [*_AT.findall(said), *_SHORT.findall(said)]}
    for _, numbers, line, of in _IN_LINE.findall(said):
        for number in re.findall(r"\d", numbers):
            cells.add(cell(f"r{of}c{number}" if line.lower() == "row" else f"r{number}c{of}"))
    return cells, _IN_LINE.sub("~", _SHORT.sub("~", _AT.sub("~", said)))


def named_houses(said: str) -> tuple[set[int], str]:
    """The houses a text without cells names, and the text without these names."""
    houses = {
        CLASSIC.house(f"{kind.lower()} {number}")
        for kind, numbers in _HOUSES.findall(said)
        for number in re.findall(r"\d", numbers)
    }
    return houses, _HOUSES.sub("~", said)


def digits_of(argument: Argument, position: Position) -> set[int]:
    """Every digit that an argument speaks of."""
    facts = [f for s in argument.steps for f in (*s.premises, *s.conclusions)]
    kept = {d for i in argument.notes for d in CLASSIC.digits if all(f.digit != d for f in position.notes[i].excludes)}
    return {f.digit for f in facts} | {d for s in argument.steps for d in s.digits} | kept


def cells_of(argument: Argument, position: Position) -> set[int]:
    """Every cell that an argument speaks of."""
    marked = {c for i in argument.notes for c in position.notes[i].cells}
    own = {c for s in argument.steps for c in (*s.cells, *s.seen)}
    return own | marked | {f.cell for s in argument.steps for f in s.conclusions}


def houses_of(argument: Argument, cells: set[int]) -> set[int]:
    """The houses of the steps, and the lines of named cells ("row 4" of column 6)."""
    own = {h for s in argument.steps for h in (*s.houses, *s.stock)}
    return own | {h for c in cells for h in argument.geometry.houses_of[c][:2]}


def check_names(argument: Argument, position: Position, said: str) -> None:
    """A text names nothing that the argument does not, and leaves out no digit that had to be seen."""
    cells, rest = named_cells(said)
    assert cells <= cells_of(argument, position), said
    houses, rest = named_houses(rest)
    assert houses <= houses_of(argument, {c for s in argument.steps for c in s.cells}), said
    named = {int(d) for d in re.findall(r"\d", rest)}
    assert named <= digits_of(argument, position), said
    for step in argument.steps:
        assert set(step.digits) <= named, said
        if step.technique not in ("xy-wing", "naked single") and not step.technique.startswith("naked"):
            assert set(step.frame[:1]) <= houses, said
    if "the digits in" not in said.lower():
        assert {position.digits[c] for s in argument.steps for c in s.seen if not lies_in_stock(s, c)} <= named, said


def lies_in_stock(step: Step, look: int) -> bool:
    return any(h in step.stock for h in CLASSIC.houses_of[look])


def check_form(argument: Argument, said: str) -> None:
    """Clean text of at most two sentences a step, none of them too long."""
    parts = sentences(said)
    assert len(parts) <= 2 * len(argument.steps), said
    assert said.endswith(".") and not re.search(r"[{}\x00-\x1f]|  | [,.;:]|,,|\.\.|\d and,", said), said
    for part in parts:
        assert part[0].isupper() and not re.match(r"R\dc\d", part), said
        assert len(part.split()) <= MOST_WORDS + 3, part
    assert not re.search(r"\d,? (?:and|or) \d,? (?:and|or) \d", re.sub(r"(?:row|column|box)\S* [\d, and]+", "", said)), said
    assert not re.search(r"\ba 8|\ban [1-79]|\b(?:rows|columns|boxes) \d(?!,| and|;)", said), said
    assert not re.search(r"\b(?:row|column|box) \d(?: and \d|, \d)(?! digit)", _IN_LINE.sub("~", said)), said


# -- texts ------------------------------------------------------------------------------------------------------------


def test_every_technique_is_put_into_words() -> None:
    assert {a.last.technique for a, _ in cases()} == {t.name for t in CATALOGUE}
    assert {a.last.manner for a, _ in cases()} == {"", "stock"}
    assert {s.technique for a, _ in every() for s in a.steps} >= set(TECHNIQUES) - {"swordfish"}


@pytest.mark.parametrize("voice", VOICES)
@pytest.mark.parametrize("variety", [None, 0, 1, 2, 3, 4])
def test_cases_name_exactly_what_they_rest_on(voice: str, variety: int | None) -> None:
    for argument, position in cases():
        said = text(argument, position, voice, variety)
        check_names(argument, position, said)
        check_form(argument, said)


@pytest.mark.parametrize("voice", VOICES)
@pytest.mark.parametrize("variety", [None, 1, 2])
def test_arguments_of_published_solves_name_exactly_what_they_rest_on(voice: str, variety: int | None) -> None:
    assert len({position for _, position in people()}) >= 40
    for argument, position in people():
        said = text(argument, position, voice, variety)
        check_names(argument, position, said)
        check_form(argument, said)


def test_no_short_names_are_spoken() -> None:
    for argument, position in every():
        for variety in range(3):
            said = [text(argument, position, "spoken", variety), question(argument, position, variety=variety)]
            said.append(plain(answer(argument, position, voice="spoken", variety=variety)))
            assert not any(_SHORT.search(part.lower()) for part in said), said


seeds = st.integers(0, 2**32 - 1).map(random.Random)


@settings(max_examples=25, deadline=None)
@given(seeds)
def test_random_pages_are_put_into_clean_words(rng: random.Random) -> None:
    position, _ = random_page(rng)
    for argument in chances(position, limit=16.0):
        said = text(argument, position, rng.choice(VOICES))
        check_names(argument, position, said)
        check_form(argument, said)


@settings(max_examples=40, deadline=None)
@given(seeds)
def test_small_grids_are_put_into_words(rng: random.Random) -> None:
    position, _ = small_page(rng)
    for argument in chances(position):
        said = text(argument, position)
        assert argument.geometry == SMALL
        assert len(sentences(said)) <= 2 * len(argument.steps)
        assert not re.search(r"[5-9]|eight", said)


# -- counts -----------------------------------------------------------------------------------------------------------

_WORDS = {w: n for n, w in enumerate(["no", "one", "two", "three", "four", "five", "six", "seven", "eight"])}
_CLOSES = re.compile(
    r"closes? (?:(\w+) of the other (\w+) places|the other (\w+) places|(both) other places|the (only) other place)"
)


def counted(said: str) -> tuple[int, int] | None:
    """How many places the looks close, of how many, as a text says."""
    match = _CLOSES.search(said)
    if not match:
        return None
    some, of, all_, both, only = match.groups()
    if some:
        return _WORDS[some], _WORDS[of]
    total = _WORDS[all_] if all_ else 2 if both else 1 if only else 0
    return total, total


def test_closed_places_are_counted_right() -> None:
    """The places said to be closed are counted anew from the page, for hidden singles of one step."""
    checked = 0
    for argument, position in every():
        step = argument.last
        if step.technique != "hidden single" or len(argument.steps) > 1 or step.notes:
            continue
        empty = {c for c in CLASSIC.house_cells[step.frame[0]] if not position.digits[c]} - set(step.cells)
        closed = {c for c in empty for look in step.seen if CLASSIC.peers[look] >> c & 1}
        assert closed == empty
        found = {counted(text(argument, position, variety=v)) for v in range(5)} - {None}
        assert found == {(len(empty), len(empty))}
        checked += 1
    assert checked > 80


def test_looks_and_held_facts_close_what_is_said_of_each() -> None:
    checked = 0
    for argument, position in every():
        step = argument.last
        if step.technique != "hidden single" or not step.uses or not step.seen or step.notes:
            continue
        empty = {c for c in CLASSIC.house_cells[step.frame[0]] if not position.digits[c]} - set(step.cells)
        closed = {c for c in empty for look in step.seen if CLASSIC.peers[look] >> c & 1}
        first = plain(answer(argument, position)).rpartition(f"The {step.digits[0]} goes in ")[2]
        assert counted(first) == (len(closed), len(empty)), first
        checked += 1
    assert checked > 20


@pytest.mark.parametrize(
    ("goal", "variety", "said"),
    [
        (
            "r5c5=5",
            0,
            "Column 5 still lacks 3, 4 and 5. "
            "The 3 and 4 in row 5 rule out the other two at row 5, column 5, so the 5 goes in.",
        ),
        ("r9c7=1", 3, "The 1s in row 8 and column 9 leave box 9 a single place for its 1: row 9, column 7."),
        (
            "r9c7=1",
            1,
            "Look for the 1 in box 9: the 1s in row 8 and column 9 close the other three places. "
            "So it goes in row 9, column 7.",
        ),
    ],
)
def test_a_whole_text(goal: str, variety: int, said: str) -> None:
    position = opening()
    fact = Fact.parse(goal)
    found = lightest(position, digit_goal(fact.cell, fact.digit))
    assert said in {text(a, position, variety=variety) for a in found}


def test_one_witness_is_singular_and_two_are_plural() -> None:
    for argument, position in every():
        step = argument.last
        if step.technique != "hidden single" or len(argument.steps) > 1 or step.notes:
            continue
        many = "s" if len(step.seen) > 1 else ""
        assert re.search(rf"[Tt]he {step.digits[0]}{many} (in|at) ", text(argument, position)), text(argument, position)
        verb = "close|leave" if many else "closes|leaves"
        assert re.search(rf"\b({verb})\b|in view", text(argument, position, variety=1)), text(argument, position)


# -- roles ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("voice", VOICES)
def test_roles_stand_where_they_belong(voice: str) -> None:
    for argument, position in every():
        said = explain(argument, position, voice="spoken" if voice == "spoken" else "page")
        roles = {run.role for run in said}
        assert roles <= ROLES
        assert all(run.text and run.text == plain((run,)) for run in said)
        assert ("held" in roles) is bool(argument.steps[:-1])
        assert "seen" in roles or not argument.witnesses
        if argument.goal[0].holds:
            (end,) = {run.text for run in said if run.role == "goal"}
            assert named_cells(end)[0] == {argument.goal[0].cell}


def test_held_steps_come_first_and_are_said_to_be_unwritten() -> None:
    unwritten = re.compile(r"nobody|unwritten|written|nowhere|in mind|not on the page", re.I)
    held = [(a, p) for a, p in every() if len(a.steps) > 1]
    assert len(held) > 50
    for argument, position in held:
        for variety in range(3):
            assert len(unwritten.findall(text(argument, position, variety=variety))) >= len(argument.steps) - 1


# -- marks ------------------------------------------------------------------------------------------------------------


def marks() -> tuple[Note, ...]:
    """A mark of every habit: a cell's candidates, a digit's places in a box, two digits across two cells."""
    pair = (cell("r1c4"), cell("r3c4"))
    places = (cell("r2c2"), cell("r2c3"))
    return (
        Note("7", (cell("r5c5"),), tuple(is_not(cell("r5c5"), d) for d in CLASSIC.digits if d not in (2, 5))),
        Note("8", places, tuple(is_not(c, 7) for c in CLASSIC.house_cells[18] if c not in places)),
        Note("9", pair, tuple(is_not(c, d) for c in pair for d in CLASSIC.digits if d not in (2, 6))),
    )


def test_marks_are_said_by_what_they_say() -> None:
    position = opening(*marks())
    said = [text(a, position) for a in chances(position) if a.notes]
    said += [text(a, position) for a in lightest(position, removal_goal(is_not(cell("r2c9"), 7)))]
    together = " ".join(said)
    assert "the mark 2 and 5 at r5c5" in together
    assert "the mark 2 and 6 in rows 1 and 3 of column 4" in together
    assert "the mark for the 7 there" in together or "the mark for the 7 in columns 2 and 3 of row 2" in together
    for argument in chances(position):
        check_names(argument, position, text(argument, position))
        check_form(argument, text(argument, position))


def test_what_is_known_is_what_is_noted_already() -> None:
    position = Position.of(opening().digits, known=[is_not(cell("r5c5"), d) for d in (1, 3, 4, 6, 7, 8, 9)])
    used = [text(a, position) for a in chances(position) if a.notes]
    assert used and all("noted" in said for said in used)
    unused = [text(a, position) for a in chances(position) if not a.notes]
    assert unused and not any(re.search(r"noted|mark", said) for said in unused)


def test_many_marks_are_counted_not_listed() -> None:
    removed = [is_not(c, 1) for c in CLASSIC.house_cells[0] if c != cell("r1c5")]
    position = Position.of((0,) * 81, known=removed)
    (argument,) = (a for a in lightest(position, digit_goal(cell("r1c5"), 1)) if a.last.frame == (0,))
    assert "the notes in eight other cells" in text(argument, position)


# -- claims -----------------------------------------------------------------------------------------------------------


def claims() -> Iterator[tuple[Argument, Position]]:
    """Arguments for marks on the opening page: a digit's two places, two digits of a cell, what a house lacks."""
    position = opening()
    candidates = Search(position).view
    for house in CLASSIC.boxes:
        for digit in CLASSIC.digits:
            places = tuple(c for c in CLASSIC.house_cells[house] if not candidates.gone[digit] >> c & 1)
            if len(places) == 2:
                yield from ((a, position) for a in lightest(position, places_goal(digit, places, house)))
    for c in range(81):
        open_digits = tuple(d + 1 for d in bits(candidates.candidates[c]))
        if len(open_digits) == 2:
            yield from ((a, position) for a in lightest(position, cell_goal(c, open_digits)))
    column = tuple(c for c in CLASSIC.house_cells[13] if not position.digits[c])
    yield from ((a, position) for a in lightest(position, set_goal(column, (3, 4, 5))))


def test_a_mark_is_concluded_as_the_claim_it_is() -> None:
    found = list(claims())
    assert len(found) > 20
    assert {a.last.technique for a, _ in found} >= {"scanning", "cross-hatching"}
    for argument, position in found:
        for variety in range(4):
            runs = explain(argument, position, claim_text="So the mark is right.", variety=variety)
            assert Run("the mark is right", "goal") in runs
            assert re.search(r"(so|:) the mark is right\.$", plain(runs), re.I), plain(runs)
            check_form(argument, plain(runs))
            assert "the mark is right" not in plain(explain(argument, position, variety=variety))


def test_a_claim_is_only_text() -> None:
    argument, position = next(claims())
    runs = explain(argument, position, claim_text="the 1 {held:fits}\n\x02goal\x1fhere\x03 ")
    assert runs[-2] == Run("the 1 {held:fits} goal here", "goal")
    assert all("\x02" not in run.text and "\n" not in run.text for run in runs)


def test_what_a_mark_holds_is_asked_for_and_not_given_away() -> None:
    for argument, position in claims():
        if argument.last.technique != "scanning":
            continue
        for variety in range(3):
            assert question(argument, position, variety=variety).startswith("Which digits are left for ")
            assert str(argument.last.digits[0]) not in named_houses(named_cells(hints(argument, position)[1])[1])[1]


# -- sameness and variety ---------------------------------------------------------------------------------------------


def test_the_same_argument_always_reads_the_same() -> None:
    for argument, position in every()[::7]:
        twin = Argument(argument.goal, tuple(argument.steps), argument.effort)
        for say in (explain, question, hints, answer):
            assert say(argument, position) == say(twin, position)
        assert (headline(argument), short_reason(argument)) == (headline(twin), short_reason(twin))


def test_five_of_a_kind_do_not_begin_alike() -> None:
    checked = 0
    for technique in TECHNIQUES:
        alike = [(a, p) for a, p in people() if a.last.technique == technique and len(a.steps) == 1]
        distinct = list({a.goal: (a, p) for a, p in alike}.values())
        for start in range(len(distinct) - 4):
            begins = {" ".join(text(a, p).split()[:4]) for a, p in distinct[start : start + 5]}
            assert len(begins) > 1, begins
            checked += 1
    assert checked > 60


def test_forms_differ_not_only_in_what_they_name() -> None:
    """With digits and houses struck out, many texts of one technique still are of three forms or more."""
    for technique in ("hidden single", "naked single", "last digit in a house"):
        alike = [(a, p) for a, p in people() if a.last.technique == technique and len(a.steps) == 1]
        forms = {re.sub(r"\d|\b(row|column|box)\b", "~", text(a, p))[:14] for a, p in alike}
        assert len(forms) >= 3


def test_consecutive_numbers_give_other_forms() -> None:
    for argument, position in cases():
        assert len({text(argument, position, variety=v) for v in range(3)}) == 3
        assert len({headline(argument, variety=v) for v in range(3)}) == 3


# -- headlines, reasons, teaching -------------------------------------------------------------------------------------


def test_headlines_are_short_and_name_no_technique() -> None:
    headlines = set()
    for argument, _ in (*every(), *claims()):
        for variety in (None, 0, 1, 2, 3):
            said = headline(argument, variety=variety)
            headlines.add(said)
            assert len(said) < 60, said
            assert said[0].isupper() and said[-1] not in ".:" and not NAMED.search(said), said
    assert len(headlines) > 200


def test_a_held_pair_is_the_headline() -> None:
    held = [a for a, _ in every() if any(s.technique.endswith(" pair") for s in a.steps[:-1])]
    assert held
    said = {headline(a, variety=v) for a in held for v in range(4)}
    assert "The pair that was never written" in said
    assert all(re.search(r"pair|triple|quad|stayed off the page", s) for s in said)


def reasons(goal: str, position: Position) -> set[str]:
    fact = Fact.parse(goal)
    return {short_reason(a) for a in lightest(position, digit_goal(fact.cell, fact.digit), most=6)}


def test_reasons_are_one_clause() -> None:
    assert "last place for the 1 in box 9" in reasons("r9c7=1", opening())
    assert "column 5 lacks 3, 4 and 5, and only the 5 fits" in reasons("r5c5=5", opening())
    assert "nothing else fits this cell" in reasons("r5c5=5", opening())
    for argument, _ in (*every(), *claims()):
        said = short_reason(argument)
        assert said[0].islower() and said[-1] not in ".,:" and "." not in said, said
        assert ("held in mind" in said) is (len(argument.steps) > 1)


def test_each_technique_is_taught_in_its_own_words() -> None:
    for technique in CATALOGUE:
        manner = "stock" if technique.price == "taking stock" else ""
        assert teach(technique.name, manner) == technique.teaches
    for name in TECHNIQUES:
        assert teach(name).endswith(".")
    with pytest.raises(InputError, match="the name of a technique, got 'telepathy'"):
        teach("telepathy")


# -- pauses -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("variety", [None, 0, 1, 2])
def test_a_question_asks_for_what_is_concluded(variety: int | None) -> None:
    for argument, position in every():
        said = question(argument, position, variety=variety)
        assert said.endswith("?") and said[0].isupper() and said.count("?") == 1
        cells, rest = named_cells(said)
        houses, rest = named_houses(rest)
        last = argument.last
        digits = set(re.findall(r"\d", rest))
        if last.technique == "hidden single":
            assert houses == {last.frame[0]} and digits == {str(last.digits[0])} and not cells
        elif last.technique == "naked single":
            assert cells == {last.cells[0]} and not digits and not houses
        elif last.technique == "last digit in a house":
            assert houses == {last.frame[0]} and not digits and not cells
        elif argument.last.technique != "cross-hatching":
            assert houses or cells
            assert not digits


@pytest.mark.parametrize("variety", [None, 0, 1, 2])
def test_hints_lead_on_without_giving_away(variety: int | None) -> None:
    for argument, position in every():
        where, which, what = given_hints = hints(argument, position, variety=variety)
        for hint in given_hints:
            assert hint[0].isupper() and hint[-1] == "." and "  " not in hint, hint
            assert not NAMED.search(hint) and not re.search(r"pair|triple|quad", hint), hint
            assert all(len(part.split()) <= MOST_WORDS + 3 for part in sentences(hint)), hint
        assert not re.search(r"\d", named_houses(named_cells(where)[1])[1]), where
        if argument.goal[0].holds:
            assert all(argument.goal[0].cell not in named_cells(hint)[0] for hint in given_hints), given_hints
        if argument.last.technique in ("hidden single", "x-wing", "locked candidates (pointing)"):
            assert str(argument.last.digits[0]) in which
        check_words = named_houses(named_cells(what)[1])[1]
        assert {int(d) for d in re.findall(r"\d", check_words)} <= digits_of(argument, position), what


def test_a_naked_single_is_not_told_by_its_hints() -> None:
    for argument, position in every():
        last = argument.last
        if last.technique == "naked single" and last.manner == "" and len(argument.steps) == 1:
            for hint in hints(argument, position):
                named = re.findall(r"\d", named_houses(named_cells(hint)[1])[1])
                assert str(last.digits[0]) not in named, hint


@pytest.mark.parametrize("voice", VOICES)
def test_an_answer_says_what_goes_where_and_why(voice: str) -> None:
    for argument, position in every():
        said = plain(answer(argument, position, voice="spoken" if voice == "spoken" else "page"))
        check_form(argument, said)
        fact = argument.goal[0]
        if fact.holds:
            row, column = fact.cell // 9 + 1, fact.cell % 9 + 1
            assert f"The {fact.digit} goes in row {row}, column {column}" in said
        check_names(argument, position, said)


# -- doctests of the parts --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("module", ["naming", "runs", "subject"])
def test_examples_in_docstrings(module: str) -> None:
    result = doctest.testmod(importlib.import_module(f"inkstep.reasoning.words.{module}"))
    assert result.attempted and not result.failed

