"""Every order that is refused, one call each on small invented records."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from takestats.errors import TakeError
from takestats.models.fit import fit_take
from takestats.order.changed import order_change
from takestats.order.understock_order import understock_order
from takestats.records.read import records_from_frame
from tests.order.small_orders import MOTH, TRIAL, frame, order, past

Refusal = tuple[str, Callable[[], object]]
TYPED = "Betula nigra on Betula pendula"
ODD = "Parrotia persica on Hamamelis virginiana"


def _work(**work: object) -> Callable[[], object]:
    return lambda: understock_order(past(), settings=TRIAL | {"work": work})


def _targets(targets: dict[str, object], **more: object) -> Callable[[], object]:
    return lambda: understock_order(past(), targets, **more)  # type: ignore[arg-type]


def _typed(takes: object, **more: object) -> Callable[[], object]:
    return lambda: understock_order({TYPED: takes}, {TYPED: 100}, **more)  # type: ignore[arg-type]


def refusals() -> Iterator[Refusal]:
    """A name and a call that must raise."""
    yield "nothing wanted", lambda: understock_order({TYPED: (0.4, 0.6, 0.8)})
    yield "none of a combination", _targets({MOTH: 0})
    yield "fewer than none", _targets({MOTH: -5})
    yield "half a plant", _targets({MOTH: 2.5})
    yield "a word for a number", _targets({MOTH: "many"})
    yield "more than a million", _targets({MOTH: 2_000_000})
    yield "so many that a million grafts are not enough", _targets({MOTH: 990_000})
    yield "a name that is nearly on record", _targets({MOTH.replace("Moth", "Mth"): 5})
    yield "a combination of a relation without a past", _targets({ODD: 100})
    yield "a word that is no combination", _targets({"mothh": 100})
    yield "one combination twice", _targets({MOTH: 100, "Hamamelis x intermedia 'Copper Moth'": 5})
    yield (
        "a scion on two understocks",
        lambda: understock_order(
            records_from_frame(
                frame(combinations=1).assign(
                    understock=["Hamamelis virginiana", "Hamamelis vernalis"] * 6
                )
            ),
            {"Hamamelis x intermedia 'Copper Moth'": 50},
        ),
    )
    yield "assurance in percent", lambda: understock_order(past(), assurance=90)
    yield "assurance too low", lambda: understock_order(past(), assurance=0.3)
    yield "assurance of certainty", lambda: understock_order(past(), assurance=1.0)
    yield "no tray", lambda: understock_order(past(), tray_size=0)
    yield (
        "none took",
        lambda: understock_order(
            records_from_frame(frame(combinations=1, saleable=False).assign(taken=0)), {MOTH: 100}
        ),
    )
    yield "typed takes out of order", _typed((0.8, 0.6, 0.4))
    yield "typed takes in percent without the sign", _typed((60, 75, 85))
    yield "two typed takes", _typed((0.6, 0.8))
    yield "a take that was not typed", _typed({"poor": 0.6, "usual": 0.7, "best": 0.8})
    yield "a poor take of nothing", _typed((0.0, 0.5, 0.8))
    yield (
        "takes of a combination that is not wanted",
        lambda: understock_order(past(), {MOTH: 100}, takes={TYPED: (0.4, 0.6, 0.8)}),
    )
    yield "a cull in percent without the sign", _typed((0.4, 0.6, 0.8), cull=10)
    yield "a cull of all", _typed((0.4, 0.6, 0.8), cull=1.0)
    yield "a cull of a combination that is not wanted", _typed((0.4, 0.6, 0.8), cull={MOTH: 0.1})
    yield "usable share of an unknown understock", _work(usable_share={"virginiania": 0.8})
    yield "a union rule of an unknown class", _work(union_by_class="thick high")
    yield "pieces of an unknown scion", _work(pieces_a_stick="moht 4")
    yield "eight days a week", _work(days_a_week=8)
    yield "no graft in a day", _work(grafts_a_day=0)
    yield (
        "a model of live understock",
        lambda: understock_order(
            fit_take(
                records_from_frame(frame(combinations=1).assign(understock_dead=0), trial=TRIAL),
                [],
                out_of="live_understock",
            )
        ),
    )
    yield "an unknown setting of the work", _work(usable_shar=0.8)
    yield "a target with an unknown part", _settings({MOTH: {"plants": 5, "por": 0.5}})
    yield "an earlier order that is none", lambda: order_change({}, order().as_record())


def _settings(targets: dict[str, object]) -> Callable[[], object]:
    return lambda: understock_order(past(), settings=TRIAL | {"targets": targets})


def told() -> str:
    """Every refusal as text, for a person to proof-read."""
    parts = []
    for name, call in refusals():
        try:
            call()
        except TakeError as refused:
            parted = (refused.where, refused.what, refused.rule, refused.next_step)
            assert all(parted), name
            parts.append(f"{name}\n  {type(refused).__name__}: {refused.told()}\n")
        else:
            parts.append(f"{name}\n  NOT REFUSED\n")
    return "\n".join(parts)
