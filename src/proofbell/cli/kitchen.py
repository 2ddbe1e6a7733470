"""``proofbell kitchen``: the facts of this kitchen; change one; check the probe; ring the bell."""

from __future__ import annotations

import argparse
import shlex
import textwrap
from datetime import UTC, datetime, timedelta
from typing import Any

from proofbell import places
from proofbell.bake.core import boils_in
from proofbell.bake.heats import on_the_dial
from proofbell.cli.arguments import values
from proofbell.cli.printed.printing import print_json
from proofbell.dough.probe import Correction, check_probe, expected_boiling_c, pressure_hpa
from proofbell.kitchen.file import load_kitchen, save_value, save_values
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.settings import setting_names, setting_path, setting_value
from proofbell.kitchen.telling import correction_settings, errors_told, good_words
from proofbell.plain import to_plain
from proofbell.quantities import Dimension
from proofbell.visible import visible
from proofbell.words import difference, filled, grams, height, length, temperature

EXAMPLE = 'proofbell kitchen set room "‹21 °C›"'

WIDTH = 78
DOUGH_C = 25.0
EXAMPLES_C = (160.0, 190.0, 220.0, 240.0)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.set_defaults(action="show")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")
    actions = parser.add_subparsers(title="actions", metavar="ACTION")
    _action(actions, "show", "show the kitchen (this is done without an action, too)")
    change = _action(actions, "set", "change one fact")
    change.add_argument("key", metavar="KEY", help="what to change: room, oven.kind, scale.step …")
    change.add_argument(
        "value", metavar="VALUE", help='its value: "‹20 °C›", fan, "1 g", AA, A or B for probe.pt100; "" removes it'
    )
    _action(actions, "ring", "ring once as an alarm does, to hear whether it can be heard")
    check = _action(actions, "probe-check", "check the probe in ice and in boiling water")
    check.add_argument("--ice", metavar="T", help="what the bare probe shows in an ice bath")
    check.add_argument("--boil", metavar="T", help="what it shows in boiling water")
    check.add_argument("--altitude", metavar="H", help="height above the sea, in place of the kitchen file's")
    check.add_argument("--pressure", metavar="P", help="air pressure here (not brought to sea level)")
    check.add_argument("--apply", action="store_true", help="write the correction into the kitchen file")


def _action(actions: Any, name: str, help_text: str) -> argparse.ArgumentParser:  # noqa: ANN401 - argparse's own
    parser: argparse.ArgumentParser = actions.add_parser(name, help=help_text, description=help_text)
    parser.set_defaults(action=name)
    # Without a default of its own, so that a --json before the action is not forgotten.
    parser.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="one JSON document")
    return parser


def run(args: argparse.Namespace) -> int:
    if args.action == "set":
        save_value(places.kitchen_file(), args.key, args.value)
        if not args.json:
            print(f"Written: {visible(_written(args.key, args.value), most=200)}.")
            return 0
    if args.action == "ring":
        from proofbell.cli.of_kitchen.ring import ring

        return ring(as_json=args.json)
    if args.action == "probe-check":
        return _probe_check(args)
    return _show(as_json=args.json)


def _written(key: str, value: str) -> str:
    """A text as the file has it now, with its unit; what is no text there, as it was said."""
    if not value.strip():
        return f"{key} is back to the default"
    kept = setting_value(setting_path(key), value)
    return f"{key} = {kept if isinstance(kept, str) else value}"


def _show(*, as_json: bool) -> int:
    path = places.kitchen_file()
    kitchen = load_kitchen(path)
    if as_json:
        print_json({"file": str(path), "kitchen": as_plain(kitchen)})
        return 0
    there = "" if path.exists() else " (not written yet: these are the defaults)"
    print(as_text(kitchen))
    print(f"\nFile: {visible(str(path), most=300)}{there}")
    print("Change one with: proofbell kitchen set KEY VALUE")
    print(textwrap.fill(f"Keys: {', '.join(setting_names())}.", WIDTH, subsequent_indent="  "))
    return 0


def as_plain(kitchen: Kitchen) -> dict[str, Any]:
    """Return the facts as plain values (°C, g, s, m, hPa), with the boiling point that follows from them."""
    plain: dict[str, Any] = to_plain(kitchen)
    plain["keys"] = dict(kitchen.keys)
    plain["places"] = dict(kitchen.places)
    plain["boiling_c"] = round(boils_in(kitchen), 2)
    return plain


def as_text(kitchen: Kitchen) -> str:
    pressure = f"{kitchen.pressure_hpa:.0f} hPa measured" if kitchen.pressure_hpa is not None else ""
    air = pressure or f"{height(kitchen.altitude_m)} above the sea, {pressure_hpa(kitchen.altitude_m):.0f} hPa"
    settings = [on_the_dial(kitchen.oven, heat_c) for heat_c in EXAMPLES_C]
    rows = [
        ("room", f"{temperature(kitchen.room_c)}, give or take {difference(kitchen.uncertainty_k)}"),
        ("flour", "as the room" if kitchen.flour_c is None else temperature(kitchen.flour_c)),
        ("fridge", temperature(kitchen.fridge_c)),
        *([("places", _places(kitchen))] if kitchen.places else []),
        ("freezer", temperature(kitchen.freezer_c)),
        ("tap", f"{temperature(kitchen.tap_c)} cold, {temperature(kitchen.tap_hot_c)} hot"),
        ("kneading", f"{_rise(kitchen.rise_hand_k)} by hand, {_rise(kitchen.rise_machine_k)} by machine"),
        ("air", f"{air}: water boils at {temperature(boils_in(kitchen))}"),
        ("hands", ": ".join([str(kitchen.hands), *([visible(", ".join(kitchen.names))] if kitchen.names else [])])),
        *([("quiet", f"{' to '.join(kitchen.quiet)}: nobody works")] if kitchen.quiet else []),
        ("region", f"{kitchen.region.upper()} figures for allergens and food safety"),
        ("oven", _oven(kitchen)),
        ("", ", ".join(f"{temperature(c, 0)} → {visible(told)}" for c, told in zip(EXAMPLES_C, settings, strict=True))),
        ("probe", _probe(kitchen)),
        ("scale", _scale(kitchen)),
        ("units", f"{kitchen.units.temperature}, {kitchen.units.weight}, clock of {kitchen.units.clock}"),
        ("bell", _bell(kitchen)),
        ("learning", "on" if kitchen.learn else "off"),
    ]
    return "\n".join([visible(kitchen.name), *(_row(name, told) for name, told in rows)])


def _row(name: str, told: str) -> str:
    """A name and its value, wrapped in its own column."""
    return filled(told, WIDTH, f"  {name:9} ", " " * 12)


def _places(kitchen: Kitchen) -> str:
    return ", ".join(f"{visible(name)} {temperature(temp_c)}" for name, temp_c in kitchen.places)


def _rise(value_k: float | None) -> str:
    return "the usual warming" if value_k is None else difference(value_k)


def _oven(kitchen: Kitchen) -> str:
    oven = kitchen.oven
    places_there = "1 place" if oven.trays == 1 else f"{oven.trays} places"
    up, down = f"{length(oven.heat_up_s)} to {temperature(200.0, 0)}", difference(100.0, 0)
    return f"{oven.kind}, {places_there}; {up}, {length(oven.cool_down_s)} to fall by {down}"


def _probe(kitchen: Kitchen) -> str:
    probe = kitchen.probe
    checked = f"checked {visible(probe.checked)}" if probe.checked else "not checked"
    good = f"good to {difference(probe.good_to_k(DOUGH_C))}"
    if probe.pt100 is not None:
        good += f" at {temperature(DOUGH_C, 0)} (Pt100 class {probe.pt100}, IEC 60751)"
    if probe.offset_k == 0 and probe.slope == 1:
        return f"not corrected, {checked}; {good}"
    slope = "" if probe.slope == 1 else f" × {probe.slope:.4f}"
    return f"reading{slope} {_signed(probe.offset_k)}, {checked}; after that {good}"


def _signed(value_k: float) -> str:
    return f"{'−' if value_k < 0 else '+'} {difference(abs(value_k), 2)}"


def _scale(kitchen: Kitchen) -> str:
    scale = kitchen.scale
    fine = "" if scale.fine_step_g is None else f", a fine one {grams(scale.fine_step_g, scale.fine_step_g)}"
    return f"steps of {grams(scale.step_g, scale.step_g)}{fine}"


def _bell(kitchen: Kitchen) -> str:
    heard = {None: "not tried", True: "was heard", False: "was not heard"}[kitchen.bell.heard]
    own = "" if not kitchen.alarm_command else f"; a command of your own: {visible(shlex.join(kitchen.alarm_command))}"
    return f"the terminal's, {heard}{own}"


def _probe_check(args: argparse.Namespace) -> int:
    kitchen = load_kitchen(places.kitchen_file())
    altitude_m = values.quantity(args.altitude, Dimension.LENGTH, "--altitude")
    pressure = values.quantity(args.pressure, Dimension.PRESSURE, "--pressure")
    if altitude_m is None and pressure is None:
        expected_c = boils_in(kitchen)
    else:
        expected_c = expected_boiling_c(altitude_m=altitude_m or 0.0, pressure=pressure)
    found = check_probe(
        ice_c=values.quantity(args.ice, Dimension.TEMPERATURE, "--ice"),
        boil_c=values.quantity(args.boil, Dimension.TEMPERATURE, "--boil"),
        expected_c=expected_c,
    )
    if args.apply:
        save_values(places.kitchen_file(), _settings(found))
    if args.json:
        print_json(_plain_check(found, applied=args.apply))
    else:
        print(_check_text(found, applied=args.apply))
    return 0


def _settings(found: Correction) -> tuple[tuple[str, str], ...]:
    """Return what to write into the kitchen file for a correction, and today's date with it."""
    from proofbell.clock import WallClock, offset_min

    wall_us = WallClock().stamp().wall_us
    today = datetime.fromtimestamp(wall_us / 1e6, UTC) + timedelta(minutes=offset_min(wall_us))
    return correction_settings(found, today.date().isoformat())


def _plain_check(found: Correction, *, applied: bool) -> dict[str, Any]:
    return {
        "boiling_c": round(found.boiling_c, 3),
        "ice_error_k": None if found.ice_error_k is None else round(found.ice_error_k, 3),
        "boil_error_k": None if found.boil_error_k is None else round(found.boil_error_k, 3),
        "offset_k": round(found.offset_k, 4),
        "slope": round(found.slope, 6),
        "needed": found.needed,
        "applied": applied,
    }


def _check_text(found: Correction, *, applied: bool) -> str:
    lines = [f"Water boils here at {temperature(found.boiling_c)}.", *errors_told(found)]
    slope = "" if found.slope == 1 else f" × {found.slope:.4f}"
    lines.append(f"Correction: reading{slope} {_signed(found.offset_k)}.")
    lines.append(
        f"That is more than the {good_words()} that food law allows."
        if found.needed
        else f"The probe is within {good_words()}, which is what food law asks for."
    )
    lines.append("Written into the kitchen file." if applied else "Add --apply to write it into the kitchen file.")
    return "\n".join(lines)
