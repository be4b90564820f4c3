"""Decisions from outside: what the commands answer, refuse and leave alone."""

from __future__ import annotations

import json
import re
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Runner
from vanlife_supply.wording.deciding import NOT_ADVICE

GAL = 3.785411784

ASKED = [
    "last water --until sun", "last gray --until sat 16", "last propane --until 2026-08-01", "can-i shower", "can-i dishes",
    "can-i coffee", "can-i guest", "can-i 2 gal", "can-i 2 gal --outside", "whatif --people 2 --until sun",
    "whatif --use 1.5gal --use 3L --outside", "whatif --container 5gal", "whatif --heater --cold --until mon",
    "whatif --no alcohol", "whatif --no propane --hot", "stay", "stay --until tue", "drinking",
    "drinking --hot --until sat 23", "look", "why water", "why gray", "why alcohol", "why propane", "learned", "hindsight",
]  # fmt: skip


def words(line: str) -> list[str]:
    """The words of a line, `16`-style dates kept with their weekday."""
    return [w.replace("_", " ") for w in line.replace("sat 16", "sat_16").replace("sat 23", "sat_23").split()]


def rows(db: Path) -> list[tuple[Any, ...]]:
    """Everything a person ever told the log, as it lies in the file."""
    con = sqlite3.connect(db)
    try:
        return [*con.execute("SELECT * FROM entry ORDER BY id"), *con.execute("SELECT * FROM act ORDER BY id"),
                *con.execute("SELECT * FROM rig"), *con.execute("SELECT * FROM setting ORDER BY name")]  # fmt: skip
    finally:
        con.close()


@pytest.mark.parametrize("line", ASKED)
def test_every_decision_answers_in_words_and_json(lived: Runner, db: Path, line: str) -> None:
    """Text and one JSON value on stdout, nothing on stderr but what a slow machine is at, and the log's entries byte for
    byte as they were."""
    before = rows(db)
    text, as_json = lived(*words(line)), lived(*words(line), "--json")
    assert text.status == as_json.status == 0
    assert all(told.startswith("Looking back") for err in (text.err, as_json.err) for told in err.splitlines())
    assert text.out.endswith("\n") and "None" not in text.out and "nan" not in text.out
    assert json.loads(as_json.out) and as_json.out.count("\n") == 1
    assert rows(db) == before


@pytest.mark.parametrize(("line", "status", "said"), [
    ("last water", 2, "--until"),
    ("last --until sun", 2, "which supply"),
    ("last watr --until sun", 1, "did you mean 'water'"),
    ("last water --until yesterday", 1, "past"),
    ("last water --until 2031-01-01", 1, "year"),
    ("can-i", 2, "say what"),
    ("can-i showr", 1, "did you mean 'shower'"),
    ("can-i 0gal", 1, "above 0"),
    ("whatif", 1, "What if what"),
    ("whatif --people many", 1, "How many"),
    ("whatif --container jug", 1, "amount"),
    ("whatif --container 0gal", 1, "holds nothing"),
    ("whatif --no water", 1, "Only one fuel"),
    ("whatif nothing", 2, "nothing"),
    ("stay put", 2, "put"),
    ("why", 2, "which supply"),
    ("hindsight now", 2, "now"),
])  # fmt: skip
def test_what_cannot_be_answered_is_refused_in_a_sentence(lived: Runner, line: str, status: int, said: str) -> None:
    """One sentence on stderr, nothing on stdout, the status of the contract."""
    answer = lived(*line.split())
    assert answer.status == status and said in answer.err and answer.out == "" and "Traceback" not in answer.err


@pytest.mark.parametrize("line", ["last water --until sun", "can-i shower", "drinking", "why water", "whatif --no alcohol"])
def test_nothing_known_yet(ready: Runner, line: str) -> None:
    """On a log without entries the sentence says what to note."""
    answer = ready(*line.split())
    assert answer.status == 1 and "Nothing is known of" in answer.err


@pytest.mark.parametrize("line", ["last water --until sun", "stay", "look", "hindsight", "learned"])
def test_without_a_rig(cli: Runner, line: str) -> None:
    """Without a rig every one of them names `rig load`."""
    answer = cli(*line.split())
    assert answer.status == 1 and "rig load" in answer.err


def test_an_empty_log_has_nothing_to_judge_or_look_at(ready: Runner) -> None:
    """With a rig and no entry: stay, look, learned and hindsight answer in words."""
    for command in ("stay", "look", "learned", "hindsight"):
        answer = ready(command)
        assert answer.status == 0 and answer.out and answer.err == ""


def test_what_if_shows_now_as_days_does(lived: Runner) -> None:
    """The `now` of a what-if is exactly the answer of `days`."""
    told = json.loads(lived("whatif", "--people", "2", "--json").out)
    assert told["now"] == json.loads(lived("days", "--json").out)
    assert told["then"]["first"]["days_left"]["p50"] < told["now"]["first"]["days_left"]["p50"]


def test_drinking_is_never_cut(lived: Runner) -> None:
    """However far the date, the words cut washing only, and say when that is not enough."""
    said = lived("last", "water", "--until", "2026-06-30").out
    assert "never cut" in said and "drink as always" in said and "fill before" in said
    told = json.loads(lived("last", "water", "--until", "2026-06-30", "--json").out)
    assert told["p10"]["drinking_covered"] is False and told["p10"]["washing_per_day"] == 0


def test_drinking_only_says_what_it_is(lived: Runner) -> None:
    """A planning rule, more in heat, a shortfall to a date."""
    plain, hot = (json.loads(lived("drinking", "--until", "2026-06-07", "--json", *more).out) for more in ([], ["--hot"]))
    assert hot["litres_per_day"] > plain["litres_per_day"] and hot["days"]["p50"] < plain["days"]["p50"]
    assert plain["short"] == pytest.approx(plain["litres_per_day"] * 30.7014 - plain["litres"]["p50"], abs=0.1)
    assert lived("drinking").out.splitlines()[-1] == NOT_ADVICE


def test_what_comes_first_and_a_date_open_too(lived: Runner) -> None:
    """`why first` gives the chance of each and by when, `why food` that it is a date somebody said; a word that is neither
    is refused."""
    first, food = lived("why", "first").out.splitlines(), lived("why", "food").out.splitlines()
    assert 2 <= len(first) <= 4 and first[0].startswith("Which comes first: gray ") and "food" in first[0]
    assert 2 <= len(food) <= 4 and "Thu 14 May" in food[0] and "you said so" in food[0]
    assert json.loads(lived("why", "first", "--json").out)["lines"] == first
    assert lived("why", "rent").status == 1


def test_drinking_is_no_more_than_the_log_shows(lived: Runner) -> None:
    """Drinking alone is never said to take more than all that is used; the rule is told beside it, and stands in heat."""
    plain, hot = (json.loads(lived("drinking", "--json", *more).out) for more in ([], ["--hot"]))
    water = next(s for s in json.loads(lived("days", "--json").out)["supplies"] if s["supply"] == "fresh")
    assert 0.5 * plain["rule_litres_per_day"] <= plain["litres_per_day"] <= water["use_per_day"]["p50"] + 1e-5
    assert plain["litres_per_day"] < plain["rule_litres_per_day"] and "The rule is a generous" in plain["text"]
    assert hot["litres_per_day"] == hot["rule_litres_per_day"]


def test_what_comes_before_the_date_is_not_said_to_come_then(lived: Runner) -> None:
    """Making water last beyond what else stops you tells that as what comes before."""
    assert "\nBefore that " in lived("last", "water", "--until", "2026-05-20").out
    assert "Before that" not in lived("last", "water", "--until", "2026-05-08").out


def test_a_day_is_what_goes_under_the_conditions_now(lived: Runner) -> None:
    """How long a spell of heating goes on changes the days left, not what goes a day now."""
    daily, lasts = [], []
    for end in ("2026-05-10", "2026-06-10"):
        lived("condition", "heater", "--until", end)
        gas = next(s for s in json.loads(lived("days", "--json").out)["supplies"] if s["supply"] == "propane")
        daily.append(gas["use_per_day"]["p50"])
        lasts.append(gas["days_left"]["p50"])
        lived("undo")
    assert daily[0] == pytest.approx(daily[1], rel=0.02) and lasts[1] < 0.8 * lasts[0]


def test_a_cylinder_is_weighed(ready: Runner) -> None:
    """Whatever is known of its tare, a cylinder is to be weighed; without one it is said where the tare stands."""
    ready("reading", "propane", "half")
    said = ready("look").out
    assert "eighing propane" in said and "Looking at propane" not in said


def test_hours_under_two_days(ready: Runner) -> None:
    """Little water in the heat is told in hours."""
    ready("people", "4")
    ready("reading", "water", "5", "gal", "--by", "count")
    said = ready("drinking", "--hot").out
    assert "hours" in said.splitlines()[0] and "4 people, dog 50 lb" in said


def test_no_stove_heats_a_room(ready: Runner) -> None:
    """With the heater on only the cooking goes over to alcohol, and it is said that the heater stays off."""
    ready("fill", "propane", "--at", "2026-05-03T08:00")
    ready("fill", "alcohol", "--at", "2026-05-03T08:00")
    cooking = json.loads(ready("whatif", "--no", "propane", "--json").out)["stand_in_per_day"]
    ready("condition", "heater")
    heated = json.loads(ready("whatif", "--no", "propane", "--json").out)["stand_in_per_day"]
    assert heated == pytest.approx(cooking, rel=0.05)
    said = ready("whatif", "--no", "propane").out
    assert "does the cooking" in said and "carbon monoxide" in said and "carries the heat" not in said
    wrong = ready("whatif", "--off", "hetr")
    assert wrong.status == 1 and "did you mean 'heater'" in wrong.err


def test_cures_cure(ready: Runner) -> None:
    """Without water only filling helps; more than fits aboard has no cure; a guest the gray cannot take is no."""
    ready("reading", "water", "0.3", "gal", "--by", "count")
    ready("dump")
    said = ready("can-i", "shower").out
    assert "Cure: fill first." in said and "sink" not in said and "at most" not in said
    assert "Cure: none. All that can be aboard is 14 gal." in ready("can-i", "200", "gal").out
    ready("fill", "water")
    ready("reading", "gray", "80%")
    told = json.loads(ready("can-i", "guest", "--until", "sun", "--json").out)
    gray = next(part for part in told["parts"] if part["supply"] == "grey")
    assert gray["chance_fails_before"] > 0.5 and gray["fits"] == told["verdict"] == "no"


def test_a_cure_named_for_a_guest_cures(ready: Runner) -> None:
    """What the cure names makes the no a yes, and more than the emptied gray takes is not cured by a dump."""
    ready("fill", "water")
    ready("reading", "gray", "80%", "--by", "count")
    guest = "can-i", "guest", "--until", "2026-05-08T09:00", "--json"
    told = json.loads(ready(*guest).out)
    assert (told["verdict"], told["cure"]) == ("no", "Cure: dump first.")
    assert "gal of it out of the sink." in ready("can-i", "9", "gal").out
    ready("dump")
    assert json.loads(ready(*guest).out)["verdict"] == "yes"


def test_what_a_guest_takes_stands_beside_what_goes_anyway(ready: Runner) -> None:
    """A no is never beside figures that would fit, and what a fill alone does not cure is done once more."""
    ready("reading", "water", "2", "gal", "--by", "count")
    ready("reading", "gray", "80%", "--by", "count")
    said = ready("can-i", "guest", "--until", "2026-06-30").out
    assert "beside the usual" in said and "Cure: fill and dump before Tue 30 Jun." in said and "at most" not in said


def test_the_usual_ends_with_the_guest_who_leaves_before(ready: Runner) -> None:
    """Beside another guest until Sunday stands what two use until Saturday and one after, not two for all the days."""

    def usual() -> float:
        (said,) = re.findall(r"Water: .* beside the usual ([0-9.]+) gal", ready("can-i", "guest", "--until", "sun").out)
        return float(said)

    ready("fill", "water")
    alone = usual()
    ready("people", "2", "--until", "sat")
    some = usual()
    ready("people", "2", "--until", "mon")
    assert 1.1 * alone < some < 0.9 * usual()


def test_what_a_short_end_uses_a_day(ready: Runner) -> None:
    """Where a supply ends before a cold spell does, its use a day is that of the cold."""
    ready("fill", "propane", "--at", "2026-05-01T08:00")
    ready("reading", "propane", "4", "lb", "--by", "count")
    ready("condition", "heater")
    ready("condition", "cold", "--until", "mon")
    told = json.loads(ready("days", "--json").out)
    propane = next(s for s in told["supplies"] if s["supply"] == "propane")
    lasting = propane["level"]["p50"] / propane["use_per_day"]["p50"]
    assert lasting == pytest.approx(propane["days_left"]["p50"], rel=0.6)


def test_own_shower_once_noted_three_times(ready: Runner) -> None:
    """A shower is sized by the person's own median from the third on."""
    ready("fill", "water", "--at", "2026-05-03T08:00")
    ready("dump", "--at", "2026-05-03T08:00")
    sizes = []
    for day, amount in enumerate(("1.4", "1.6", "1.5"), 4):
        sizes.append(json.loads(ready("can-i", "shower", "--json").out)["parts"][0]["need"])
        ready("use", "water", amount, "gal", "--for", "shower", "--at", f"2026-05-0{day}T20:00")
    sizes.append(json.loads(ready("can-i", "shower", "--json").out)["parts"][0]["need"])
    assert sizes == pytest.approx([3.78541] * 3 + [1.5 * 3.78541], abs=1e-4)
    assert "your usual" in ready("can-i", "shower").out


def test_a_use_told_in_a_jug_that_is_gone_hinders_no_answer(ready: Runner) -> None:
    """What was noted in jugs the rig no longer has says nothing of a size, and the question is still answered."""
    ready("fill", "water", "--at", "2026-04-30T08:00")
    for day in (1, 2, 3):
        ready("use", "water", "1", "jug", "1", "--for", "shower", "--at", f"2026-05-0{day}T20:00")
    assert ready("rig", "change", "water", "jug", "1", "gone").status == 0
    told = ready("can-i", "shower", "--json")
    assert told.status == 0 and json.loads(told.out)["parts"][0]["need"] == pytest.approx(GAL)


def test_why_names_what_is_reckoned_to_come_back(ready: Runner) -> None:
    """A heater that was on for a week last month is in the days left and so in why; while it is on it is not awaited."""
    ready("fill", "propane", "--at", "2026-04-01T08:00")
    ready("condition", "heater", "--at", "2026-04-10T08:00", "--until", "2026-04-17T08:00")
    ready("reading", "propane", "10", "lb", "--by", "count", "--at", "2026-04-20T08:00")
    assert "heater, on 1 day in 3 lately, is reckoned to come back" in ready("why", "propane").out
    ready("condition", "heater", "--until", "sun")
    said = ready("why", "propane").out
    assert "heater on:" in said and "come back" not in said


def test_why_opens_to_at_most_four_lines(lived: Runner) -> None:
    """Every supply: four lines at most, the last says what would change it, the balance adds up."""
    for supply in ("water", "gray", "alcohol", "propane"):
        lines = lived("why", supply).out.splitlines()
        told = json.loads(lived("why", supply, "--json").out)
        assert 2 <= len(lines) <= 4 and lines == told["lines"] and lines[-1].startswith("What would change it")
        if told["balance"]:
            b = told["balance"]
            gone = b["last"] - b["first"] - b["came"] if supply == "gray" else b["first"] + b["came"] - b["last"]
            assert gone == pytest.approx(b["used"])


def test_what_is_learned_is_only_shown(lived: Runner) -> None:
    """The drain share is shown with its band and the rig stays as it was written."""
    rig = lived("rig", "show").out
    assert "Drain share" in lived("learned").out and lived("rig", "show").out == rig
    share = json.loads(lived("learned", "--json").out)[0]["band"]
    assert 0.2 < share["p10"] < share["p50"] < share["p90"] < 1.2


def small_jug_fills(cli: Runner) -> None:
    """Three times jug 1, written down as 7 gal, ran out and took 6.5 gal to the top."""
    for day in ("20", "24", "28"):
        cli("ran-out", "water", "--container", "jug 1", "--at", f"2026-04-{day}T08:00")
        cli("fill", "water", "6.5", "gal", "full", "--container", "jug 1", "--at", f"2026-04-{day}T09:00")


def test_an_offer_changes_nothing_until_it_is_taken(ready: Runner) -> None:
    """A jug that takes less than written is offered; taken, it holds so from now on, and undo brings the old rig back."""
    small_jug_fills(ready)
    rig, days = ready("rig", "show").out, ready("days").out
    said = ready("learned").out
    assert "Jug 1: 3 fills say it holds 6.4 to 6.7 gal, you wrote 7." in said and "learned take 1" in said
    assert (ready("rig", "show").out, ready("days").out) == (rig, days)
    then = ready("days", "--json", "--as-of", "2026-05-01T08:00").out
    assert "undo" in ready("learned", "take", "1").out
    taken = json.loads(ready("days", "--json").out)["supplies"][0]
    assert taken["capacity"] == pytest.approx((7 + 6.5) * GAL, rel=1e-3)
    assert ready("days", "--json", "--as-of", "2026-05-01T08:00").out == then
    assert "learned take" not in ready("learned").out
    assert ready("undo").status == 0
    assert (ready("rig", "show").out, ready("days").out) == (rig, days)


def test_a_no_is_remembered(ready: Runner) -> None:
    """What was declined is still shown and never offered again, also after one more fill that says the same."""
    small_jug_fills(ready)
    assert ready("learned", "keep", "1").status == 0
    ready("ran-out", "water", "--container", "jug 1", "--at", "2026-05-02T08:00")
    ready("fill", "water", "6.5", "gal", "full", "--container", "jug 1", "--at", "2026-05-02T09:00")
    said = ready("learned").out
    assert "Jug 1: 4 fills say" in said and "learned take" not in said
    refused = ready("learned", "take", "1")
    assert refused.status == 1 and "no offer '1'" in refused.err


def test_hindsight_counts_what_it_lists(lived: Runner) -> None:
    """Scores are sums over the outcomes listed, and the words say the same."""
    told = json.loads(lived("hindsight", "--json").out)
    for o in told["outcomes"]:
        high = o["said_days"]["p90"]
        assert o["inside"] == (o["said_days"]["p10"] <= o["days"] and (high is None or o["days"] <= high))
        assert 0 <= o["pit"] <= 1 and o["made"] <= o["start"]
    whole = told["scores"][0]
    assert whole["supply"] is None and whole["count"] == len(told["outcomes"]) >= 15
    assert whole["inside"] == sum(o["inside"] for o in told["outcomes"])
    last = told["last"]
    assert f"Of the last {last['count']} forecasts, {last['inside']} came as said" in lived("hindsight").out


def test_decisions_load_no_textual(lived: Runner, db: Path) -> None:
    """No decision needs the app's library, and the words of decisions need no numpy."""
    probe = "import sys; from vanlife_supply.__main__ import main; main(sys.argv[1:]); print('textual' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", probe, "--db", str(db), "can-i", "shower"], capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] == "False"
    loads = ("import sys; from vanlife_supply.wording import decided, deciding, hindsight, why; "
             "print('numpy' in sys.modules)")  # fmt: skip
    assert subprocess.run([sys.executable, "-c", loads], capture_output=True, text=True).stdout == "False\n"


def test_a_use_in_the_minute_of_the_fill(ready: Runner) -> None:
    """Filled and used within one minute: the answer is a number near what is left, without a word on stderr."""
    ready("fill", "water")
    ready("use", "water", "1", "gal")
    told, said = json.loads(ready("last", "water", "--until", "sun", "--json").out), ready("can-i", "shower")
    assert 12 * 3.785 * 0.9 < told["usable"]["p50"] < 13 * 3.786 and said.status == 0 and said.err == ""


def test_a_hit_or_miss_is_told_after_the_act(lived: Runner, monkeypatch: pytest.MonkeyPatch) -> None:
    """The answer after a jug ran out says what was said of it and what came; a day later it no longer does."""
    assert "said" not in lived("days").out.splitlines()[-1]
    lived("next", "water")
    verdict = lived("days").out.splitlines()[-1]
    told = r"Water: .* said to last till .*, lasted till Thu evening: (as|sooner than|later than) said\."
    assert re.fullmatch(told, verdict)
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", "2026-05-08T19:10-07:00")
    assert verdict not in lived("days").out
