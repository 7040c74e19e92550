"""Does work on the other core give the same answer, and tell its faults?"""

from __future__ import annotations

import os
import signal

import pytest

from takestats.errors import DesignError, RecordsError
from takestats.models import side_by_side
from takestats.models.side_by_side import ONE_AT_A_TIME, beside
from takestats.pages.season_page import season_report, write_season
from tests.pages.small_seasons import small_records
from tests.two_cores import forks, stopped_as_they_part


@pytest.fixture
def two(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(ONE_AT_A_TIME, raising=False)


@forks
@pytest.mark.usefixtures("two")
def test_it_is_another_process():
    assert beside(os.getpid)() != os.getpid()


@forks
@pytest.mark.usefixtures("two")
def test_a_stop_as_they_part_is_not_for_the_other_process(monkeypatch: pytest.MonkeyPatch):
    stopped_as_they_part(monkeypatch)
    assert beside(os.getpid)() != os.getpid()
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


def test_one_at_a_time_runs_here():
    assert beside(os.getpid)() == os.getpid()


@forks
@pytest.mark.usefixtures("two")
def test_what_it_raises_is_raised_here_with_its_four_parts():
    def refuse() -> None:
        raise DesignError(where="here", what="nothing", rule="something", next_step="look")

    with pytest.raises(DesignError) as caught:
        beside(refuse)()
    assert (caught.value.where, caught.value.next_step) == ("here", "look")
    assert "Rule: something" in str(caught.value)


@forks
@pytest.mark.usefixtures("two")
def test_a_killed_process_costs_nothing_but_time():
    here = os.getpid()

    def die_elsewhere() -> int:
        if os.getpid() != here:
            os.kill(os.getpid(), signal.SIGKILL)
        return 42

    assert beside(die_elsewhere)() == 42


@forks
@pytest.mark.usefixtures("two")
def test_an_answer_that_cannot_be_sent_is_worked_out_here():
    assert beside(lambda: lambda: 7)()() == 7


@forks
def test_a_page_made_on_two_cores_has_the_same_bytes(monkeypatch, tmp_path):
    records = small_records()
    write_season(season_report(records), tmp_path / "one")
    monkeypatch.delenv(ONE_AT_A_TIME)
    started = []
    real = side_by_side.get_context
    monkeypatch.setattr(side_by_side, "get_context", lambda how: started.append(how) or real(how))
    write_season(season_report(records), tmp_path / "two")
    assert started
    for path in sorted((tmp_path / "one").rglob("*.*")):
        assert (
            path.read_bytes()
            == (tmp_path / "two" / path.relative_to(tmp_path / "one")).read_bytes()
        )


def test_errors_can_pass_from_process_to_process():
    import pickle

    import pandas as pd

    told = RecordsError(
        where="a.csv", what="1 fault", rule="r", next_step="n", problems=pd.DataFrame({"row": [3]})
    )
    back = pickle.loads(pickle.dumps(told))
    assert type(back) is RecordsError
    assert str(back) == str(told)
    assert back.problems["row"].tolist() == [3]
