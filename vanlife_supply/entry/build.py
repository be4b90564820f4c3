"""What a person typed for one event → a checked Entry. One set of checks for the command line and the app."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.fitting import as_weighed, doubt
from vanlife_supply.entry.model import Entry
from vanlife_supply.moment import Moment, When, every_days, read_when, refuse_ahead
from vanlife_supply.quantity import GROSS, PERCENT, Amount, parse_amount, parse_money, parse_price, parse_share
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import FILLS, FRESH, GREY, Container, Rig, called, supply_named

LONG_AGO_DAYS = 400
"""What is typed as longer ago than this may be a slip of the year."""
_TO_THE_TOP = {"", "full", "to full", "to the top", "to the brim", "up", "all", "everything"}
_UNKNOWN = {"some", "a bit", "bit", "a little", "?", "unknown", "don't know", "dont know"}
_ALMOST = {"almost", "almost full", "nearly full", "nearly"}
_UNKEEPABLE = re.compile("[\x00-\x1f\ud800-\udfff\u202a-\u202e\u2066-\u2069]")
"""Control characters, halves of pairs, and marks that turn the direction of writing."""
_CLOCK = re.compile(r"[0-9]{1,2}[:.h][0-9]{2}")
_CONDITIONS = (*m.CONDITIONS, "guests")


@dataclass(frozen=True, slots=True)
class Typed:
    """One event as typed: every field a string, empty where nothing was said."""

    kind: str
    supply: str = ""
    amount: str = ""
    down_to: str = ""
    container: str = ""
    into: str = ""
    at: str = ""
    until: str = ""
    every: str = ""
    word: str = ""
    method: str = ""
    pets: str | None = None
    paid: str = ""
    price_per: str = ""
    place: str = ""
    note: str = ""
    by: str = ""
    typed: str = ""


def build(said: Typed, rig: Rig, now: Moment) -> Entry:
    """`said` → Entry without an id, recorded `now`. Refusal says what, where, what to do.

    Times are read in the rig's zone, amounts against the containers named; what is
    implausible but possible comes back `questioned`.
    """
    makers = {
        m.PEOPLE: _people, m.CONDITION: _condition, m.LIMIT: _limit, m.NOTE: _note,
        m.PLANNED: _planned, m.ASIDE: _aside,
    }  # fmt: skip
    if said.kind in makers:
        entry = makers[said.kind](said, rig, now)
    elif said.kind in m.SUPPLY_KINDS:
        entry = _event(said, rig, now)
    else:
        raise Refusal(f"'{said.kind}' is not something to note{nearest(said.kind, list(m.LOG_KINDS))}.")
    if said.kind in m.SUPPLY_KINDS and now.epoch - entry.at.epoch > LONG_AGO_DAYS * 86_400 and not entry.questioned:
        entry = replace(entry, questioned="over a year ago")
    return replace(
        entry,
        paid=entry.paid if entry.paid is not None else (parse_money(said.paid, rig.currency) if said.paid else None),
        place=place_called(said.place),
        note=_line("note", said.note) or entry.note,
        by=said.by,
        typed=said.typed,
        recorded=now.epoch,
    )


def _event(said: Typed, rig: Rig, now: Moment) -> Entry:
    supply = _supply(said, rig)
    when = refuse_ahead(read_when(said.at or "now", now, rig.zone), now)
    container = rig.container(supply, said.container).label if said.container else ""
    into = rig.container(supply, said.into).label if said.into else ""
    entry = Entry("", said.kind, when.moment, supply, container=container, into=into, slack_h=when.slack_h)
    return _MAKERS[said.kind](entry, said, rig)


def _supply(said: Typed, rig: Rig) -> str:
    if said.supply:
        name = supply_named(said.supply, tuple(s.name for s in rig.supplies))
        rig.supply(name)
        return name
    filling = [s.name for s in rig.supplies if s.direction == FILLS]
    if said.kind == m.DUMP and (GREY in filling or len(filling) == 1):
        return GREY if GREY in filling else filling[0]
    if len(rig.supplies) == 1:
        return rig.supplies[0].name
    raise Refusal(f"Which supply? Name it too: {', '.join(rig.say(s.name) for s in rig.supplies)}.")


def _fill(entry: Entry, said: Typed, rig: Rig) -> Entry:
    text, price = " ".join(said.amount.lower().split()), said.price_per
    if text in _UNKNOWN:
        return entry
    if text in _ALMOST:
        return replace(entry, to="95 %")
    if price and text in _TO_THE_TOP:
        done = _filled_by_price(entry, said, rig)
        return replace(done, to=m.FULL) if text else done
    if text in _TO_THE_TOP:
        return replace(entry, to=m.FULL)
    if text.endswith(" full") and parse_share(text) is not None:
        return replace(entry, to=f"{parse_share(text):g} %")
    top = next((t for t in (" to the top", " to the brim", " to full", " full") if text.endswith(t)), "")
    done = _sized(entry, said.amount[: -len(top)] if top else said.amount, rig)
    if price:
        its = rig.supply(entry.supply)
        each = parse_price(price, rig.currency, its.measure, its.density)
        done = replace(done, paid=round(each * rig.canonical(_must(done), entry.supply, entry.container)))
    return replace(done, to=m.FULL) if top else done


def _filled_by_price(entry: Entry, said: Typed, rig: Rig) -> Entry:
    its = rig.supply(entry.supply)
    each = parse_price(said.price_per, rig.currency, its.measure, its.density)
    if not said.paid or not each:
        raise Refusal("A price alone says nothing: add what was paid, like $3, or the amount.")
    paid = parse_money(said.paid, rig.currency)
    much = paid / each / rig.canonical(Amount(1.0, its.unit), entry.supply)
    return replace(_sized(entry, f"{much:.{3 if much < 10 else 4}g} {its.unit}", rig), paid=paid)


def _use(entry: Entry, said: Typed, rig: Rig) -> Entry:
    done = replace(_sized(entry, said.amount, rig), word=_line("what for", said.word))
    if not done.amount:
        raise Refusal(f"Nothing was used, so there is nothing to note: say how much {rig.say(entry.supply)}.")
    return done


def _reading(entry: Entry, said: Typed, rig: Rig) -> Entry:
    method = said.method.lower()
    if method and method not in m.METHODS:
        ways = ", ".join(m.METHODS)
        raise Refusal(f"'{said.method}' is not a way to read a level{nearest(method, list(m.METHODS))}: {ways}.")
    done = _sized(entry, as_weighed(said.amount, method == "scale", entry, rig), rig)
    if done.unit in GROSS:
        return replace(done, method="scale")
    return replace(done, method=method or ("" if done.unit != PERCENT else "count" if _is_exact(done, rig) else "sight"))


def _is_exact(entry: Entry, rig: Rig) -> bool:
    """Whether one container is said to be full or empty: anyone can tell. Full gray may be its stop mark or its brim."""
    one = bool(entry.container) or len(rig.of(entry.supply)) == 1
    return one and (entry.amount == 0.0 or (entry.amount == 100.0 and rig.supply(entry.supply).direction != FILLS))


def _dump(entry: Entry, said: Typed, rig: Rig) -> Entry:
    if said.down_to:
        if said.amount:
            raise Refusal("Say either what came out or down to what it went, not both.")
        return replace(entry, to=_to_level(said.down_to, entry, rig))
    text = " ".join(said.amount.lower().split())
    if text in ("", m.EMPTY, "now empty", "all"):
        return replace(entry, to=m.EMPTY)
    out = text.removesuffix(" empty").removesuffix(" now")
    done = _sized(entry, out, rig)
    return replace(done, to=m.EMPTY) if out != text else done


def _next(entry: Entry, said: Typed, rig: Rig) -> Entry:
    if said.amount:
        raise Refusal(f"'{said.amount}' does not belong to the next one: say looked {rig.say(entry.supply)} {said.amount}.")
    if len(rig.of(entry.supply)) < 2:
        only = rig.of(entry.supply)[0].label
        raise Refusal(f"There is no next container for {rig.say(entry.supply)}, only {only}: say ran out, or filled.")
    if entry.container and entry.container == entry.into:
        raise Refusal(f"{entry.container} cannot be both the empty one and the one opened: name two.")
    return entry


def _ran_out(entry: Entry, said: Typed, rig: Rig) -> Entry:
    if said.word and said.word != m.COLD:
        raise Refusal(f"'{said.word}' is not known of what ran out: only cold.")
    return replace(entry, word=said.word)


def _exchange(entry: Entry, said: Typed, rig: Rig) -> Entry:
    return _sized(entry, said.amount, rig) if said.amount else entry


def _pour(entry: Entry, said: Typed, rig: Rig) -> Entry:
    if not entry.container or not entry.into:
        raise Refusal("Pouring needs both: from the one poured out of, into the one poured into.")
    if entry.container == entry.into:
        raise Refusal(f"Pouring {entry.container} into itself changes nothing: name two containers.")
    if not said.amount:
        return entry
    done = _sized(replace(entry, container=entry.into), said.amount, rig)
    return replace(done, container=entry.container)


def _spill(entry: Entry, said: Typed, rig: Rig) -> Entry:
    return _sized(entry, said.amount, rig)


_MAKERS = {
    m.FILL: _fill, m.USE: _use, m.READING: _reading, m.DUMP: _dump, m.NEXT: _next,
    m.RAN_OUT: _ran_out, m.EXCHANGE: _exchange, m.POUR: _pour, m.SPILL: _spill,
}  # fmt: skip


def _sized(entry: Entry, text: str, rig: Rig) -> Entry:
    """The entry with its amount, refused when absurd, questioned when more than fits."""
    if not text.strip():
        raise Refusal(f"How much? Say it after '{entry.kind} {rig.say(entry.supply)}': 2 gal, 45 L, half, 40%.")
    amount = parse_amount(text)
    if not amount.unit:
        amount = Amount(amount.value, rig.supply(entry.supply).unit)
    if amount.unit == "g" and amount.value < 100 and rig.supply(entry.supply).name in (FRESH, GREY):
        raise Refusal(f"{amount} of {rig.say(entry.supply)} is a sip: g is grams, say gal or L.")
    if amount.unit == "gross":
        amount = Amount(amount.value, f"{rig.scale} gross")
    return replace(entry, amount=amount.value, unit=amount.unit, questioned=doubt(amount, entry, rig))


def _to_level(text: str, entry: Entry, rig: Rig) -> str:
    amount = parse_amount(text)
    amount = Amount(amount.value, amount.unit or rig.supply(entry.supply).unit)
    doubt(amount, entry, rig)
    return str(amount)


def _people(said: Typed, rig: Rig, now: Moment) -> Entry:
    if not said.amount.isascii() or not said.amount.isdigit() or len(said.amount) > 2:
        raise Refusal(f"How many people? Write a number from 0 to 99, not '{said.amount}'.")
    when = _happened(said, rig, now)
    entry = Entry("", m.PEOPLE, when.moment, amount=float(said.amount), word=said.word, slack_h=when.slack_h)
    return replace(entry, until=_until(said, entry, rig, now), pets=said.pets or "")


def _condition(said: Typed, rig: Rig, now: Moment) -> Entry:
    word = _line("condition", said.word).lower()
    if not word:
        raise Refusal(f"Which condition? Say {', '.join(_CONDITIONS)} or a word of your own.")
    meant = "" if word in _CONDITIONS else nearest(word, list(_CONDITIONS))
    if meant and len(word) > 3:
        raise Refusal(f"'{word}' is not a condition known here{meant}. For one of your own take another word.")
    when = _happened(said, rig, now)
    entry = Entry("", m.CONDITION, when.moment, word=word, slack_h=when.slack_h)
    if said.down_to == m.OFF:
        return replace(entry, to=m.OFF)
    return replace(entry, until=_until(said, entry, rig, now))


def _limit(said: Typed, rig: Rig, now: Moment) -> Entry:
    word = _line("limit", said.word).lower()
    if not word:
        raise Refusal("Which limit? Say it in a word: food, stay, move.")
    if not (said.at or said.every or said.down_to):
        word, said = _with_time(word, said, rig, now)
    return _ahead(Entry("", m.LIMIT, now, word=word), said, rig, now)


def _with_time(word: str, said: Typed, rig: Rig, now: Moment) -> tuple[str, Typed]:
    """`food sun` → food, at sun."""
    words = word.split()
    for i in range(1, len(words)):
        when = " ".join(words[i:])
        try:
            read_when(when, now, rig.zone, ahead=True)
        except Refusal:
            continue
        return " ".join(words[:i]), replace(said, at=when)
    return word, said


def _planned(said: Typed, rig: Rig, now: Moment) -> Entry:
    if said.word not in (m.DUMP, m.FILL):
        raise Refusal(f"'{said.word}' cannot be planned: plan a dump or a fill.")
    supply = _supply(replace(said, kind=said.word), rig)
    return _ahead(Entry("", m.PLANNED, now, supply, word=said.word), said, rig, now)


def _ahead(entry: Entry, said: Typed, rig: Rig, now: Moment) -> Entry:
    """A limit or plan with its date and repeat, or its end (`drop`)."""
    if said.down_to == m.DROP:
        return replace(entry, to=m.DROP)
    if not said.at:
        raise Refusal(f"When? Say it after that: {_again(entry, rig)} sat, or 2026-05-16T12:00.")
    when = read_when(said.at, now, rig.zone, ahead=True)
    if when.moment.epoch <= now.epoch and not said.every:
        raise Refusal(f"{when.moment.local():%Y-%m-%d %H:%M} is past: give a time ahead.")
    if said.every:
        every_days(said.every)
    return replace(entry, until=when.moment, to=f"every {said.every.removeprefix('every ')}" if said.every else "")


def _again(entry: Entry, rig: Rig) -> str:
    """What was said of a limit or plan, without its time."""
    return f"limit {entry.word} till" if entry.kind == m.LIMIT else f"planned {entry.word} {rig.say(entry.supply)}"


def _note(said: Typed, rig: Rig, now: Moment) -> Entry:
    text = _line("note", said.word or said.note)
    if not text:
        raise Refusal("An empty note says nothing: write the words after 'note'.")
    when = _happened(said, rig, now)
    return Entry("", m.NOTE, when.moment, note=text, slack_h=when.slack_h)


def _aside(said: Typed, rig: Rig, now: Moment) -> Entry:
    container = _any_container(said, rig)
    when = _happened(said, rig, now)
    word = m.BACK if said.down_to == m.BACK else _line("why", said.word).lower()
    return Entry("", m.ASIDE, when.moment, container.supply, container=container.label, word=word, slack_h=when.slack_h)


def _any_container(said: Typed, rig: Rig) -> Container:
    """The container of that name in the supply named, else in the first supply that has it (labels before letters)."""
    if said.supply:
        return rig.container(_supply(said, rig), said.container)
    found = called(rig.containers, said.container)
    if found is not None:
        return found
    there = [c.label for c in rig.containers]
    raise Refusal(f"No container '{said.container}'{nearest(said.container, there)}: there is {', '.join(there)}.")


def _happened(said: Typed, rig: Rig, now: Moment) -> When:
    return refuse_ahead(read_when(said.at or "now", now, rig.zone), now)


def _until(said: Typed, entry: Entry, rig: Rig, now: Moment) -> Moment | None:
    if not said.until:
        return None
    lasts = re.fullmatch(r"for (.+)", said.until.strip().lower())
    when = read_when(f"in {lasts[1]}", entry.at, rig.zone) if lasts else read_when(said.until, now, rig.zone, ahead=True)
    end = when.moment
    if end.epoch <= entry.at.epoch:
        raise Refusal(f"It would end ({end.local():%Y-%m-%d %H:%M}) before it begins: give a later end.")
    return end


def place_called(text: str) -> str:
    """The name of a place, "" for none. Refusal where it has neither letter nor digit."""
    name = _line("place", text)
    if _CLOCK.fullmatch(name):
        raise Refusal(f"'{name}' is no time of day, nor the name of a place: say 18:30, or the place in letters.")
    if name and not any(ch.isalnum() for ch in name):
        raise Refusal(f"'{name}' is no name of a place: say it with letters or digits.")
    return name


def _line(what: str, text: str) -> str:
    """One line of printable text of at most 500 characters."""
    plain = " ".join(text.split())
    if len(plain) > 500 or _UNKEEPABLE.search(plain):
        raise Refusal(f"The {what} has characters that cannot be kept, or over 500 of them: write it shorter and plainly.")
    return plain


def _must(entry: Entry) -> Amount:
    said = entry.said
    assert said is not None
    return said
