"""The tests' own PostgreSQL: it runs, its databases are apart, and it lets nobody in without the password."""

from __future__ import annotations

from collections.abc import Callable

import pytest

import postgres
from postgres import Server

sqlalchemy = pytest.importorskip("sqlalchemy")


def test_it_answers(postgres_url: str) -> None:
    engine = sqlalchemy.create_engine(postgres_url)
    with engine.connect() as connection:
        assert connection.scalar(sqlalchemy.text("SELECT 1")) == 1
        assert connection.scalar(sqlalchemy.text("SHOW listen_addresses")) == "127.0.0.1"
        assert connection.scalar(sqlalchemy.text("SHOW server_encoding")) == "UTF8"
    engine.dispose()


def test_every_fresh_database_is_empty_and_apart(fresh_database: Callable[[], str]) -> None:
    one, other = (sqlalchemy.create_engine(fresh_database()) for _ in range(2))
    with one.begin() as connection:
        connection.execute(sqlalchemy.text("CREATE TABLE stroke (number integer)"))
    assert sqlalchemy.inspect(one).get_table_names() == ["stroke"]
    assert sqlalchemy.inspect(other).get_table_names() == []
    for engine in (one, other):
        engine.dispose()


def test_nobody_gets_in_without_the_password(postgres_server: Server) -> None:
    wrong = sqlalchemy.create_engine(postgres_server.url().replace(postgres_server.password, "guess"))
    with pytest.raises(sqlalchemy.exc.OperationalError, match="password authentication failed"):
        wrong.connect()


def test_a_server_that_cannot_start_says_why(postgres_server: Server) -> None:
    second = Server(postgres_server.programs, postgres_server.folder)
    with pytest.raises(RuntimeError, match="data"):
        second.start()


def test_without_the_programs_the_reason_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(postgres, "programs", lambda: None)
    assert postgres.why_not().startswith("no PostgreSQL:")
