"""Second looks: they agree with the tray model on easy trials, and say when they cannot answer."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts


def bench(takes: tuple[float, float], trays: int, size: int, seed: int) -> ts.Records:
    """Invented trays of two methods, beta-binomial with an intra-tray correlation of .05."""
    rng = np.random.default_rng(seed)
    frames = []
    for method, take in zip(("cleft", "side veneer"), takes, strict=True):
        drawn = rng.beta(take * 19, (1 - take) * 19, trays) if take < 1.0 else np.ones(trays)
        frames.append(
            pd.DataFrame(
                {
                    "season": "2025-26",
                    "tray": [f"{method[0]}{i:03d}" for i in range(trays)],
                    "method": method,
                    "grafted": size,
                    "taken": rng.binomial(size, drawn),
                    "count_date": "2026-06-15",
                }
            )
        )
    return ts.records_from_frame(pd.concat(frames, ignore_index=True))


def test_on_a_large_balanced_trial_all_engines_agree() -> None:
    records = bench((0.75, 0.85), 200, 40, 7)
    base = ts.differences(ts.fit_take(records, ["method"]), "method").table.iloc[0]
    for engine in ("quasi", "gee", "ml", "quick"):
        other = ts.differences(ts.fit_take(records, ["method"], engine=engine), "method").table
        # 400 trays: priors and small-sample rules hardly matter.
        for name in ("difference", "low", "high"):
            assert other[name].iloc[0] == pytest.approx(base[name], abs=0.005), (engine, name)


def test_the_tray_model_is_near_maximum_likelihood_on_a_large_balanced_trial() -> None:
    # Within .02 on the log odds scale.
    records = bench((0.75, 0.85), 200, 40, 8)
    ours = ts.fit_take(records, ["method"]).coefficients.table["log_odds"].iloc[0]
    theirs = ts.fit_take(records, ["method"], engine="ml").coefficients.table["log_odds"].iloc[0]
    assert ours == pytest.approx(theirs, abs=0.02)


def test_the_table_has_every_look_with_its_answer() -> None:
    model = ts.fit_take(bench((0.8, 0.9), 10, 30, 3), ["method"])
    look = ts.second_opinions(model, "method")
    assert look.table["method"].tolist() == ["quasi-binomial", "GEE, bias-reduced", "quick form"]
    assert (look.table["answer"] == "answer").all()
    assert (look.table["low"] < look.table["high"]).all()
    raw = ts.differences(model, "method").table["raw_difference"].iloc[0]
    # One factor, equal trays: the averaged difference of both is the raw one.
    assert look.table["difference"].to_numpy() == pytest.approx(np.full(3, raw), abs=1e-6)


def test_a_full_level_has_no_answer_and_nothing_leaks() -> None:
    model = ts.fit_take(bench((1.0, 0.9), 6, 30, 3), ["method"])
    look = ts.second_opinions(model, "method")
    told = look.table.set_index("method")["answer"]
    assert told["quasi-binomial"] == "no answer: every graft of cleft took"
    assert told["quick form"] == "answer"
    assert look.table.loc[0, ["difference", "low", "high"]].isna().all()
    assert "no answer" in look.in_words()


@pytest.mark.parametrize("engine", ["quasi", "gee", "ml"])
def test_an_engine_without_an_answer_says_so_before_it_is_called(engine: str) -> None:
    with pytest.raises(ts.DesignError, match="every graft of cleft took"):
        ts.fit_take(bench((1.0, 0.9), 6, 30, 3), ["method"], engine=engine)  # type: ignore[arg-type]


def test_too_few_trays_have_no_answer() -> None:
    model = ts.fit_take(bench((0.8, 0.9), 1, 30, 3), ["method"])
    assert "2 trays for 2 coefficients" in ts.second_opinions(model, "method").in_words()
