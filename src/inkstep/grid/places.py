"""The open places of a grid as one integer, and what its rules close.

A *place* is a digit in a cell; its number is ``cells * (digit - 1) + cell``, so that a state has one plane
of cells a digit. Each cell, and each digit of each house, is a *unit*: in a solution exactly one of its
places is left. The units of a kind all have the same shape, so a few shifts count the places of all of them
at once, and one round finds every naked and hidden single of the grid together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from inkstep.grid.geometry import Geometry, bits

#: a distance between neighbours in a state, and how many neighbours lie that far apart
Stride = tuple[int, int]


class Kind:
    """All units of one kind: ``heads`` marks the first place of each, ``strides`` lead to the others."""

    def __init__(self, heads: int, *strides: Stride) -> None:
        self.heads = heads
        self.strides = strides
        self.filling = 1
        for distance, many in strides:
            self.filling = sum(self.filling << distance * i for i in range(many))

    def _tally(self, state: int) -> tuple[int, int]:
        """The heads of the units with at least one place in ``state``, and with at least two."""
        some, more = state, 0
        for distance, many in self.strides:
            next_some, next_more = some, more
            for _ in range(many - 1):
                next_some >>= distance
                next_more >>= distance
                more |= next_more | (some & next_some)
                some |= next_some
        return some & self.heads, more & self.heads

    def alone(self, state: int) -> int | None:
        """The places that are the only one of their unit; None when a unit has no place left."""
        some, more = self._tally(state)
        return None if some != self.heads else (some ^ more) * self.filling & state

    def around(self, places: int) -> int:
        """Every place of the units that hold one of ``places``."""
        return self.occupied(places) * self.filling

    def occupied(self, places: int) -> int:
        """The heads of the units that hold one of ``places``."""
        return self._tally(places)[0]

    def paired(self, state: int) -> int:
        """The places of the units that have exactly two left."""
        some, more, many_more = state, 0, 0
        for distance, many in self.strides:
            one, two, three = some, more, many_more
            for _ in range(many - 1):
                one, two, three = one >> distance, two >> distance, three >> distance
                many_more |= three | (more & one) | (some & two)
                more |= two | (some & one)
                some |= one
        return (more & ~many_more & self.heads) * self.filling & state


class Crossing:
    """The *segments* in which lines of one direction cross the boxes: where locked candidates work."""

    def __init__(self, segments: Kind, line: Kind, box: Kind) -> None:
        self._segments = segments
        self._line = line
        self._box = box

    def narrowed(self, state: int) -> int:
        """``state`` without what a digit confined to one segment of its box, or of its line, closes.

        Every unit must have a place in ``state``.
        """
        inked = self._segments.occupied(state)
        closed = 0
        for here, there in ((self._box, self._line), (self._line, self._box)):
            confined = here.alone(inked) or 0
            closed |= there.around(confined) & inked & ~confined
        return state & ~(closed * self._segments.filling)


class Places:
    """The tables of one geometry, and the steps of the search that need no guess."""

    def __init__(self, geometry: Geometry) -> None:
        self.geometry = geometry
        size, cells = geometry.size, geometry.cells
        across, down = geometry.box_columns, geometry.box_rows
        self.all = (1 << size * cells) - 1
        #: the places of cell 0, one a plane; shifted by a cell's number they are that cell's
        self.of_cell = sum(1 << cells * plane for plane in range(size))
        #: for each place, the places that a digit written there closes
        self.closes = tuple(self._closes(place % cells, place // cells) for place in range(size * cells))
        self._keeps = tuple(self.all ^ closed for closed in self.closes)
        rows, columns, boxes = (
            self._on_every_plane(geometry.house_cells[house][0] for house in houses)
            for houses in (geometry.rows, geometry.columns, geometry.boxes)
        )
        self.kinds = (
            Kind(geometry.every, (cells, size)),
            Kind(rows, (1, size)),
            Kind(columns, (size, size)),
            Kind(boxes, (1, across), (size, down)),
        )
        first_in_row = (c for c in range(cells) if c % across == 0)
        in_rows = Kind(self._on_every_plane(first_in_row), (1, across))
        first_in_column = (c for c in range(cells) if c // size % down == 0)
        in_columns = Kind(self._on_every_plane(first_in_column), (size, down))
        self._crossings = (
            Crossing(in_rows, Kind(rows, (across, down)), Kind(boxes, (size, down))),
            Crossing(in_columns, Kind(columns, (size * down, across)), Kind(boxes, (1, across))),
        )

    def _closes(self, cell: int, plane: int) -> int:
        cells = self.geometry.cells
        other_digits = (self.of_cell ^ 1 << cells * plane) << cell
        return other_digits | self.geometry.peers[cell] << cells * plane

    def _on_every_plane(self, cells: Iterable[int]) -> int:
        return self.of_cell * sum(1 << cell for cell in cells)

    def start(self, givens: Sequence[int], candidates: Sequence[int] | None) -> tuple[int, int]:
        """The open places beside ``givens`` and inside the ``candidates``, and the places of the givens.

        Raises:
            ValueError: not one entry a cell, or an entry that is neither 0 nor a digit (no mask of digits).
        """
        size, cells = self.geometry.size, self.geometry.cells
        if len(givens) != cells or (candidates is not None and len(candidates) != cells):
            raise ValueError(f"a grid of {cells} cells needs {cells} entries")
        if not all(0 <= digit <= size for digit in givens):
            raise ValueError(f"an entry is 0 or a digit from 1 to {size}")
        fixed = sum(1 << cells * (digit - 1) + cell for cell, digit in enumerate(givens) if digit)
        state = self.all if candidates is None else self._open_in(candidates)
        return self.written(state, fixed), fixed

    def _open_in(self, candidates: Sequence[int]) -> int:
        if not all(0 <= mask < 1 << self.geometry.size for mask in candidates):
            raise ValueError(f"a mask has one bit for each digit from 1 to {self.geometry.size}")
        cells = self.geometry.cells
        return sum(1 << cells * plane + cell for cell, mask in enumerate(candidates) for plane in bits(mask))

    def written(self, state: int, places: int) -> int:
        """``state`` once the digits of ``places`` are written."""
        keeps = self._keeps
        while places:
            low = places & -places
            state &= keeps[low.bit_length() - 1]
            places ^= low
        return state

    def settled(self, state: int, fixed: int) -> tuple[int, int] | None:
        """``state`` and its written places after all singles and locked candidates.

        None when a unit is left without a place. Where the two results are equal the grid is complete.
        """
        while True:
            found = 0
            for kind in self.kinds:
                alone = kind.alone(state)
                if alone is None:
                    return None
                found |= alone
            new = found & ~fixed
            if new:
                state, fixed = self.written(state, new), fixed | new
                continue
            narrower = state
            if state != fixed:
                for crossing in self._crossings:
                    narrower = crossing.narrowed(narrower)
            if narrower == state:
                return state, fixed
            state = narrower

    def branch(self, state: int) -> int:
        """The number of the place to try next.

        Of the places that are one of two in their unit, the one that settles the most such pairs.
        """
        paired = 0
        for kind in self.kinds:
            paired |= kind.paired(state)
        if paired:
            closes = self.closes
            return max(bits(paired), key=lambda place: (closes[place] & paired).bit_count())
        return self._in_smallest_unit(state)

    def _in_smallest_unit(self, state: int) -> int:
        size, cells = self.geometry.size, self.geometry.cells
        units = [self.of_cell << cell for cell in range(cells)]
        units += [mask << cells * plane for plane in range(size) for mask in self.geometry.house_masks]
        open_units = (state & unit for unit in units)
        smallest = min((unit for unit in open_units if unit & (unit - 1)), key=int.bit_count)
        return next(bits(smallest))

    def grid(self, state: int) -> tuple[int, ...]:
        """The digits of a state with one place a cell."""
        cells = self.geometry.cells
        digits = [0] * cells
        for place in bits(state):
            digits[place % cells] = place // cells + 1
        return tuple(digits)
