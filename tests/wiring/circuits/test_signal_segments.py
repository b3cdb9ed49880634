"""Signal cables: numbered cores from terminal to terminal, and the questions that bare terminals raise."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.handover.lists.open_questions.still_to_find_out import find_out_table
from layout.project.model.circuits import CableKind
from layout.project.model.device import Device, Terminal
from layout.project.model.signals import Signal
from layout.wiring.wire import wire
from tests.wiring.faulty import add, as_read, plain

PAIR = CableKind(
    id="pair", cores=2, insulation=80.0, sizes={"0.75 mm2": 5.0}, carries=("data",), colours=("red", "black")
)


def speaking(**more: object):
    """Return a boat with a radio in the locker, and a speaker joined to it 3 m away."""
    radio = Device(id="radio", location="locker", terminals={"sp+": Terminal(id="sp+"), "sp-": Terminal(id="sp-")})
    speaker = Device(id="speaker", location="p0", terminals={"+": Terminal(id="+", takes="blade")})
    signal = Signal(**{"id": "sp", "from_": "radio", "to": "speaker", "cores": {"sp+": "+", "sp-": "-"}, **more})
    project = replace(plain(), wireways={"w0": replace(plain().wireways["w0"], carries=("dc", "data"))})
    return add(project, signals={"sp": signal}, devices={"radio": radio, "speaker": speaker}, cables={"pair": PAIR})


def test_a_speaker_is_wired_like_anything_else():
    """Each core has a number, both ends, the size and colour of its cable, and its length: 3 m, 5 %, two ends."""
    run = wire(speaking(), None).run("signals.sp")
    assert [(one.number, one.start.terminal, one.end.terminal, one.colour) for one in run.wires] == [
        ("006aA.1", "sp+", "+", "red"),
        ("006aB.2", "sp-", "-", "black"),
    ]
    assert (run.size_words, run.route) == ("0.75 mm²", ("w0",))
    assert run.length.total_mm == pytest.approx(3000 * 1.05 + 300)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"cores": {}}, "has no cores"),
        ({"to": "radio"}, "from and to are both 'radio'"),
        ({"cores": {str(n): "x" for n in range(27)}}, "27 cores, at most 26"),
    ],
)
def test_a_signal_that_can_not_be_wired_is_refused(more, words):
    """No cores, one device at both ends, more cores than there are letters."""
    with pytest.raises(ValueError, match=words):
        speaking(**more)


def questions(project) -> dict[str, str]:
    """Return the questions about the radio and the speaker by their key."""
    rows = find_out_table(as_read(project), (), wire(project, None)).rows
    return {row["at"]: row["question"] for row in rows if "radio" in row["at"] or "speaker" in row["at"]}


def test_a_terminal_that_nothing_lands_on_is_asked():
    """A declared terminal without a wire is a question; one that is said to be unused is not."""
    bare = speaking(cores={"sp+": "+"})
    assert questions(bare)["devices.radio.terminals.sp-"] == "what goes on its terminal sp-, or unused: true"
    radio = bare.devices["radio"]
    unused = {"sp+": radio.terminals["sp+"], "sp-": Terminal(id="sp-", unused=True)}
    assert "devices.radio.terminals.sp-" not in questions(
        add(bare, devices={"radio": replace(radio, terminals=unused)})
    )


def test_an_end_without_a_fitting_is_asked():
    """What the radio's two terminals take is not said; the speaker's blade is, its other terminal is not declared."""
    found = questions(speaking())
    assert found["devices.radio.terminals"].startswith("what its terminals sp+, sp- take")
    assert found["devices.speaker.terminals"].startswith("what its terminal - take")


def test_every_blank_of_the_schedule_has_its_question():
    """A lamp of unknown load leaves blanks in its row, and its entry is among the questions; so does a bare length."""
    project = add(plain(amps=None), signals={})
    asked = {row["at"] for row in find_out_table(as_read(project), (), wire(project, None)).rows}
    assert any(key.startswith("circuits.c1") for key in asked)
