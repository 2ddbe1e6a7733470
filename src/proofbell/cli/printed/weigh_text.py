"""What ``proofbell weigh`` prints to be read at the bench: the liquid first, then the bowl."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.weigh.made_for import tin_words
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.dough.allergens import in_one_line
from proofbell.dough.safety import LOCAL_FIRST_FOR_ALL, Caution
from proofbell.visible import visible
from proofbell.words import filled, grams, other_degrees, percent, pieces, temperature

WIDTH = 78


def as_text(found: WeighOut, learned: Sequence[str] = (), *, why: bool = False, placed: Sequence[str] = ()) -> str:
    """Return the weigh-out; ``learned``: where numbers come from that past bakes showed.

    ``placed``: what its places make of its times.
    """
    size = found.size
    made = f"{grams(found.dough_g, found.step_g)} of dough, {grams(size.flour_g)} of flour in it"
    if divided := pieces(size.pieces, size.piece_g):
        in_tins = tin_words(size.pieces, found.batch.in_tin)
        made = "; ".join(part for part in (divided, in_tins, made) if part)
    told = [found.loaf.words] if found.loaf is not None else []
    told += [found.tin.words] if found.tin is not None else []
    blocks = ["\n".join([visible(found.formula), _wrapped(made), *map(_wrapped, told)])]
    if found.limited is not None:
        blocks.append(_wrapped(visible(found.limited, most=500), "! "))
    if found.liquid is not None:
        blocks.append("\n".join(_liquid_lines(found)))
    blocks.append("\n".join(_bowl_lines(found)))
    blocks.append("\n".join(_share_lines(found)))
    if placed:
        blocks.append(_list("Where it stands", [visible(text, most=300) for text in placed]))
    mind = [visible(text, most=500) for text in found.notes.warnings]
    if mind:
        blocks.append(_list("Mind", mind))
    if found.notes.cautions:
        told = [visible(_with_source(caution), most=700) for caution in found.notes.cautions]
        blocks.append(f"{_list('Take care', told)}\n{_wrapped(LOCAL_FIRST_FOR_ALL, '  ')}")
    if why:
        blocks.append("\n".join(_why_lines(found)))
    if learned:
        blocks.append(_list("Learned from past bakes, and used here", [visible(text, most=500) for text in learned]))
    return "\n\n".join(blocks)


def _with_source(caution: Caution) -> str:
    return f"{caution.alone} ({caution.source})" if caution.source else caution.alone


def _liquid_lines(found: WeighOut) -> list[str]:
    advice = found.liquid
    if advice is None:
        return []
    answer = advice.answer
    ice_g = found.batch.ice_g
    ice = f", {grams(ice_g)} of its weight as ice" if ice_g else ""
    first = "For the dough, the" if found.bowls and found.bowls[0].vessel == "preferment" else "First the"
    return [
        f"{first} {visible(advice.name)}: {temperature(answer.temp_c)} ({other_degrees(answer.temp_c)}){ice}",
        f"  for a dough of {temperature(answer.dough_c)} after kneading",
        *([f"  ({advice.between})"] if advice.between else []),
        f"  ({advice.rise_words})",
        f"  (the factor method says {temperature(advice.factor_method.liquid_c)})",
    ]


def _bowl_lines(found: WeighOut) -> list[str]:
    """The bowls one below the other; with one bowl only, no title for it."""
    names = [visible(line.name, most=32) for bowl in found.bowls for line in bowl.lines]
    widest = max((len(name) for name in names), default=0)
    told: list[str] = []
    for bowl in found.bowls:
        running_g = 0.0
        if len(found.bowls) > 1:
            told += [*([""] if told else []), visible(bowl.words(found.stages), most=WIDTH)]
        if not told or bowl is found.bowls[0]:
            told.append(f"  {'weigh':>9}  {'bowl':>9}  {'':{widest}}  {'of flour':>8}  at")
        for line in bowl.lines:
            running_g += line.grams
            at = "" if line.temperature_c is None else temperature(line.temperature_c, 0)
            poured = line.use == "dough"
            together = grams(running_g, found.step_g) if poured else ""
            share = percent(line.percent, 2) if poured else ""
            told.append(
                f"{line.weight:>11}  {together:>9}  {visible(line.name, most=32):{widest}}  {share:>8}  {at}".rstrip()
            )
            told += [f"  {'':>9}  {'':>9}  {note}" for note in (line.by_measure,) if note]
    return told


def _share_lines(found: WeighOut) -> list[str]:
    shares = found.shares
    told = [
        f"hydration {percent(shares.hydration)}",
        f"all water {percent(shares.water)}",
        f"sugar {percent(shares.sugar)}" if shares.sugar else "",
        f"fat {percent(shares.fat)}" if shares.fat else "",
        f"prefermented flour {percent(shares.prefermented)}" if shares.prefermented else "",
        f"total {percent(shares.total)}",
    ]
    return [
        _wrapped("Of all flour: " + ", ".join(word for word in told if word) + "."),
        _wrapped(f"Allergens, EU and UK: {visible(in_one_line(found.eu, found.unknown), most=2000)}."),
        _wrapped(f"Allergens, US: {visible(in_one_line(found.us, found.unknown), most=2000)}."),
    ]


def _list(title: str, texts: list[str]) -> str:
    return "\n".join([title, *(_wrapped(text, "  · ", "    ") for text in texts)])


def _wrapped(text: str, first: str = "", later: str = "  ") -> str:
    return filled(text, WIDTH, first, later)


def _why_lines(found: WeighOut) -> list[str]:
    if found.liquid is None:
        return ["The formula names no liquid to warm, or no dough temperature: there is nothing to work out."]
    working = found.liquid.working
    lines = [f"Why: {visible(working.title)}"]
    for line in working.lines:
        indent = "  " + " " * (len(line) - len(line.lstrip()))
        lines.append(_wrapped(visible(line.strip(), most=500), indent, indent + "  "))
    return lines
