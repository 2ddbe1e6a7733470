"""``plan --html``: the day for the wall as one page that needs nothing from outside, and prints dark on white."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from proofbell.bench.day_words import late_words
from proofbell.bench.paper.cards import SheetCard
from proofbell.bench.paper.rows import SheetRow
from proofbell.dough.safety import LOCAL_FIRST_FOR_ALL
from proofbell.sheet.sheet import Sheet, did_words, goes_words, hour_of, note_words
from proofbell.visible import visible
from proofbell.words import with_units

FEW, SOME = 24, 60
"""So many rows stand in one column in large letters, so many in two; more are set smaller."""

STYLE = """
@page { margin: 9mm }
* { box-sizing: border-box }
body { margin: 0; color: #000; background: #fff; overflow-wrap: anywhere }
body { font: 10.5pt/1.25 Arial, Helvetica, sans-serif }
h1 { font-size: 1.5em; margin: 0 } h2 { font-size: 1.1em; margin: 0 } p { margin: 0 }
h3 { font-size: 1.15em; margin: .5em 0 .2em; padding: .1em .3em; border: 1px solid #000; break-after: avoid }
h3:first-child { margin-top: 0 }
.kitchen { margin-bottom: .4em }
.doughs { columns: 2; column-gap: 2em; margin-bottom: .6em; padding: .3em 0; border: solid #000; border-width: 1px 0 }
.doughs p { break-inside: avoid; padding-left: 1.6em; text-indent: -1.6em }
.trouble { font-weight: bold; margin-bottom: .6em }
.day { columns: 2; column-gap: 1.6em; column-rule: 1px solid #999 }
.few { font-size: 13pt } .few .day, .few .doughs { columns: 1 }
.many { font-size: 8.4pt; line-height: 1.18 }
.row { display: flex; break-inside: avoid; padding: .16em 0; border-bottom: 1px solid #ccc }
.box { flex: none; width: .95em; height: .95em; margin: .1em .45em 0 0; border: 1.5px solid #000 }
.none { border-color: transparent }
.at, .letter { flex: none; font-weight: bold; padding-right: .6em } .letter { min-width: 1.7em }
.does { flex: 1; min-width: 0 }
.who { flex: none; max-width: 6em; padding-left: .5em; font-style: italic }
.goes { font-size: .86em; color: #333 }
.wait .at, .wait .letter { font-weight: normal; font-size: .86em; color: #333 }
.note { font-weight: bold; background: #eee }
.cards { break-before: page; columns: 3; column-gap: 1.4em; font-size: .92em }
.few .cards { columns: 1; font-size: .85em } .many .cards { font-size: .96em }
.card { break-inside: avoid; border: 1px solid #000; padding: .35em .5em; margin-bottom: .7em }
.card h2 { border-bottom: 1px solid #000; margin-bottom: .2em }
.bowl { font-weight: bold; margin-top: .25em }
.line { display: flex; padding-top: .05em }
.grams { flex: none; width: 4.6em; text-align: right; padding-right: .6em }
.alert { font-weight: bold; margin-top: .25em }
.care { break-inside: avoid; font-size: .92em; margin-top: .4em }
@media screen { body { max-width: 210mm; margin: 8mm auto; padding: 0 9mm } }
"""


def sheet_page(sheet: Sheet) -> str:
    """The page: the day on the first sheet, the cards from the second on."""
    rows = len(sheet.rows)
    size = "few" if rows <= FEW else "some" if rows <= SOME else "many"
    parts = [
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{_text(sheet.title)}</title>\n<style>{STYLE}</style>\n</head>",
        f'<body class="{size}">',
        *_head(sheet),
        '<section class="day">',
        *_day(sheet),
        "</section>",
        '<section class="cards">',
        *(part for card in sheet.cards for part in _card(card, sheet)),
        *_care(sheet),
        "</section>\n</body>\n</html>\n",
    ]
    return "\n".join(parts)


def _text(words: str) -> str:
    return escape(with_units(visible(words, most=700)))


def _head(sheet: Sheet) -> Iterator[str]:
    last_us = max(bake.ready_us for bake in sheet.bakes)
    yield f'<h1>{_text(sheet.title)}</h1>\n<p class="kitchen">{_text(sheet.kitchen)}</p>'
    yield '<div class="doughs">'
    for bake in sheet.bakes:
        ready = f"ready {hour_of(bake.ready_us, last_us)}{late_words(bake)}"
        yield f"<p><b>{_text(bake.letter)}</b> &nbsp;<b>{_text(bake.formula)}</b> {_text(ready)}</p>"
    yield "</div>"
    yield from (f'<p class="trouble">{_text(words)}</p>' for words in sheet.trouble)


def _day(sheet: Sheet) -> Iterator[str]:
    for name, rows in sheet.days:
        if sheet.several_days:
            yield f"<h3>{_text(name)}</h3>"
        yield from map(_row, rows)


def _row(row: SheetRow) -> str:
    if row.kind == "note":
        does = _text(note_words(row))
    else:
        hands, oven = did_words(row)
        did = ", ".join([_text(hands)] * bool(hands) + [f"<b>{_text(oven)}</b>"] * bool(oven))
        goes = "".join(f'<div class="goes">{_text(goes_words(each, row))}</div>' for each in row.goes)
        does = did + goes
    who = f'<span class="who">{_text(row.who)}</span>' if row.who else ""
    return (
        f'<div class="row {row.kind}"><span class="box{"" if row.asks else " none"}"></span>'
        f'<span class="at">{_text(hour_of(row.at_us))}</span><span class="letter">{_text(" ".join(row.letters))}</span>'
        f'<div class="does">{does}</div>{who}</div>'
    )


def _card(card: SheetCard, sheet: Sheet) -> Iterator[str]:
    ready_us = max(bake.ready_us for bake in sheet.bakes)
    yield f'<div class="card"><h2>{_text(card.letter)} &nbsp;{_text(card.name)}</h2>'
    yield from (f"<p>{_text(words)}</p>" for words in (card.makes, card.dough, *card.mind) if words)
    for bowl in card.bowls:
        by = "" if bowl.by_us is None else f", {hour_of(bowl.by_us, ready_us)}"
        yield f'<p class="bowl">{_text(bowl.title + by)}</p>'
        for line in bowl.lines:
            note = f", {line.note}" if line.note else ""
            yield (
                f'<div class="line"><span class="box"></span><span class="grams">{_text(line.weight)}</span>'
                f'<span class="does">{_text(line.name + note)}</span></div>'
            )
    checks = [words for words in (*card.checks, card.heats) if words]
    yield from (f'<p class="check">{_text(words)}</p>' for words in checks)
    if card.allergens:
        yield f'<p class="alert">{_text(card.allergens)}</p>'
    yield "</div>"


def _care(sheet: Sheet) -> Iterator[str]:
    if not sheet.cautions:
        return
    yield '<div class="care"><h2>Take care</h2>'
    for letters, caution in sheet.cautions:
        yield f"<p>{_text(f'{letters}: ' if letters else '')}{_text(caution.alone)}</p>"
    yield f"<p>{_text(LOCAL_FIRST_FOR_ALL)}</p></div>"
