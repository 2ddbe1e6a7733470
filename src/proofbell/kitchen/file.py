"""Reads the kitchen file, and changes one line of it without touching what else its owner wrote."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path as FilePath
from typing import Any

from proofbell.errors import Failure
from proofbell.faults import Fault, Source
from proofbell.formula.findings import Findings
from proofbell.formula.read import in_order, without_harmful
from proofbell.formula.tables import Draft
from proofbell.formula.text.guard import MOST_BYTES, decoded, guard
from proofbell.formula.text.parse import parsed
from proofbell.formula.text.positions import positions
from proofbell.kitchen.alarm_command import refuse_unrunnable
from proofbell.kitchen.fields import KITCHEN
from proofbell.kitchen.model import Bell, Kitchen, Oven, OvenDial, Probe, Scale
from proofbell.kitchen.settings import setting_path, setting_value
from proofbell.private_folder import make_private_folder
from proofbell.regular_file import NotAFileError, first_bytes
from proofbell.units import Units
from proofbell.visible import visible

# What the file calls it, and what the model calls it.
_TOP = {
    "name": "name", "room": "room_c", "uncertainty": "uncertainty_k", "fridge": "fridge_c", "flour": "flour_c",
    "tap": "tap_c", "tap_hot": "tap_hot_c", "freezer": "freezer_c", "rise_hand": "rise_hand_k",
    "rise_machine": "rise_machine_k", "altitude": "altitude_m", "pressure": "pressure_hpa", "hands": "hands",
    "region": "region", "learn": "learn", "theme": "theme", "alarm": "alarm_command", "keys": "keys",
    "places": "places", "formulas": "formulas", "names": "names", "quiet": "quiet",
}  # fmt: skip
_OVEN = {
    "kind": "kind", "heat_up": "heat_up_s", "cool_down": "cool_down_s", "trays": "trays", "fan_less": "fan_less_k",
}  # fmt: skip
_PROBE = {
    "offset": "offset_k", "slope": "slope", "tolerance": "tolerance_k", "checked": "checked", "pt100": "pt100",
}  # fmt: skip
_SCALE = {"step": "step_g", "fine_step": "fine_step_g"}
_UNITS = {"temperature": "temperature", "weight": "weight", "clock": "clock"}
_BELL = {"heard": "heard", "notify": "notify", "title": "title"}


def read_kitchen(text: str | bytes, name: str) -> tuple[Kitchen, tuple[Fault, ...]]:
    """Return the kitchen and all faults by line. What is missing or faulty is back to the default."""
    del name  # a fault knows its line; who shows it knows the file
    decoded_text, fault = decoded(text)
    fault = fault or guard(decoded_text)
    if fault is not None:
        return Kitchen(), (fault,)
    clean, harmful = without_harmful(decoded_text)
    tree, fault = parsed(clean)
    if fault is not None:
        return Kitchen(), in_order([*harmful, fault])
    findings = Findings(tree, positions(clean))
    findings.faults.extend(harmful)
    draft = KITCHEN.read(tree, (), findings)
    if not isinstance(draft, Draft):
        return Kitchen(), in_order(findings.faults)
    kitchen = _kitchen(draft)
    _look_over(draft, kitchen, findings)
    return kitchen, in_order(findings.faults)


def load_kitchen(path: FilePath) -> Kitchen:
    """Read the kitchen file; without one it is an ordinary kitchen.

    Raises Failure: the file cannot be read, or something in it is refused.
    """
    data = _bytes(path)
    kitchen, faults = read_kitchen(data, str(path))
    _refuse(faults, data, str(path))
    return kitchen


def set_value(text: str, key: str, value: str) -> str:
    """Return the kitchen file's ``text`` with one value changed, comments and all else as they were.

    ``key`` is a name such as ``room`` or ``oven.kind``; ``value`` is as typed, such as ``20 °C``, ``fan``, ``2``. An
    empty value takes the line out, so that the ordinary kitchen's value holds again. Raises Failure: there is no such
    key, the value does not fit it, or the file is faulty.
    """
    path = setting_path(key)
    typed = setting_value(path, value) if value.strip() else None
    _refuse_broken(text)
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(text)
        _put(document, path, typed)
        changed = tomlkit.dumps(document)
    except (TOMLKitError, TypeError, ValueError, KeyError, RecursionError) as error:
        message = f"The kitchen file cannot be changed here: {visible(str(error), most=100)}."
        raise Failure(message, f"Change {visible(key, most=60)} in the file by hand.") from error
    _, faults = read_kitchen(changed, "kitchen file")
    _refuse(faults, changed, "kitchen file")
    return changed


def _put(document: Any, path: tuple[str, ...], typed: Any) -> None:  # noqa: ANN401 - tomlkit's containers and values
    """Set or, with None, take out one value. An action's name may stand there with its dots, as tables in tables."""
    import tomlkit

    table = document
    parts = path
    if path[0] == "keys" and path[1] not in document.get("keys", {}):
        dotted = ("keys", *path[1].split("."))
        parts = dotted if _has(document, dotted) else path
    for part in parts[:-1]:
        if part not in table:
            if typed is None:
                return
            table[part] = tomlkit.table()
        table = table[part]
    if typed is not None:
        table[parts[-1]] = typed
    elif parts[-1] in table:
        table.remove(parts[-1])


def _has(table: Any, parts: tuple[str, ...]) -> bool:  # noqa: ANN401 - tomlkit's containers and values
    for part in parts:
        if not isinstance(table, dict) or part not in table:
            return False
        table = table[part]
    return True


def save_value(path: FilePath, key: str, value: str) -> None:
    """Change one value in the file at ``path``; see `save_values`."""
    save_values(path, [(key, value)])


def save_values(path: FilePath, values: Sequence[tuple[str, str]]) -> None:
    """Change values in the file at ``path`` in one go, or begin the file; the old one stays whole until the new one is.

    Raises Failure: see `set_value`; the alarm's program is not there; or the file cannot be written.
    """
    import tempfile

    text, fault = decoded(_bytes(path))
    if fault is not None:
        raise Failure(fault.message, fault.remedy, faults=(fault,), source=Source(str(path), text))
    changed = text
    for key, value in values:
        changed = set_value(changed, key, value)
        if setting_path(key) == ("alarm",):
            refuse_unrunnable(read_kitchen(changed, "kitchen file")[0].alarm_command)
    try:
        make_private_folder(path.parent)
        # The copy is for its owner alone, and so is the file from then on.
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.", suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(changed)
                file.flush()
                os.fsync(file.fileno())
            FilePath(name).replace(path.resolve())
        except BaseException:
            with contextlib.suppress(OSError):
                FilePath(name).unlink()
            raise
    except OSError as error:
        raise _cannot("written", path, error) from error


def model_value(kitchen: Kitchen, key: str) -> object:
    """Return what the kitchen holds under a key of the file, in °C, K, g, s, m or hPa.

    Raises Failure: there is no such key.
    """
    *tables, last = setting_path(key)
    if not tables:
        return getattr(kitchen, _TOP[last])
    if tables == ["places"]:
        return dict(kitchen.places).get(last)
    names = {"oven": _OVEN, "probe": _PROBE, "scale": _SCALE, "units": _UNITS, "bell": _BELL}[tables[0]]
    return getattr(getattr(kitchen, tables[0]), names[last])


def _bytes(path: FilePath) -> bytes:
    try:
        return first_bytes(path, MOST_BYTES)
    except FileNotFoundError:
        return b""
    except NotAFileError as error:
        message = f"The kitchen file {visible(str(path), most=120)} is {error.what}, not a file."
        raise Failure(message, "Name a file with PROOFBELL_KITCHEN.", status=1) from error
    except (OSError, ValueError) as error:
        raise _cannot("read", path, error) from error


def _cannot(done: str, path: FilePath, error: Exception) -> Failure:
    reason = getattr(error, "strerror", None) or "the name cannot be used"
    message = f"The kitchen file {visible(str(path), most=120)} cannot be {done}: {reason}."
    return Failure(message, "Check its folder and its permissions.", status=1)


def _kitchen(draft: Draft) -> Kitchen:
    own: dict[str, Any] = _renamed(draft, _TOP)
    oven: Draft | None = draft.get("oven")
    if oven is not None:
        lines = tuple(
            OvenDial(line.get("conventional"), line.get("dial"))
            for line in oven.get("dial", ())
            if {"conventional", "dial"} <= line.values.keys()
        )
        own["oven"] = Oven(**_renamed(oven, _OVEN), dial=lines)
    if "probe" in draft.values:
        probe = Probe(**_renamed(draft.get("probe"), _PROBE))
        own["probe"] = replace(probe, pt100=None) if "tolerance" in draft.get("probe").values else probe
    if "scale" in draft.values:
        own["scale"] = Scale(**_renamed(draft.get("scale"), _SCALE))
    if "names" in own and "hands" not in own:
        own["hands"] = max(1, len(own["names"]))
    if "units" in draft.values:
        own["units"] = Units(**_renamed(draft.get("units"), _UNITS))
    if "bell" in draft.values:
        own["bell"] = Bell(**_renamed(draft.get("bell"), _BELL))
    return Kitchen(**own)


def _renamed(draft: Draft, names: dict[str, str]) -> dict[str, Any]:
    return {names[name]: value for name, value in draft.values.items() if name in names}


def _look_over(draft: Draft, kitchen: Kitchen, findings: Findings) -> None:
    """Refuse what does not go together, and warn of what is odd."""
    if kitchen.tap_c >= kitchen.tap_hot_c:
        path = draft.at("tap_hot" if "tap_hot" in draft.given else "tap")
        findings.error(path, "The hot tap is no warmer than the cold one.", "Measure both again.")
    if "room" in draft.values and not 10 <= kitchen.room_c <= 35:
        findings.warning(draft.at("room"), "That is far from an ordinary room.", "Check the number and the unit.")
    if "fridge" in draft.values and kitchen.fridge_c > 8:
        remedy = "Food is kept at 5 °C or less; local food-safety rules come first."
        findings.warning(draft.at("fridge"), "That is warm for a fridge.", remedy)
    if len(kitchen.quiet) == 1:
        findings.error(draft.at("quiet"), "Quiet hours have a start and an end.", 'Write quiet = ["22:30", "06:00"].')
    if kitchen.names and "hands" in draft.values and len(kitchen.names) > kitchen.hands:
        findings.warning(draft.at("names"), f"More names than hands: the first {kitchen.hands} are used.")
    probe: Draft | None = draft.get("probe")
    if probe is not None and {"tolerance", "pt100"} <= probe.values.keys():
        findings.warning(probe.at("pt100"), "The tolerance is given too; it is used, the class is not.")
    if {"altitude", "pressure"} <= draft.values.keys():
        findings.warning(draft.at("altitude"), "The air pressure is given too; it is used, the height is not.")


def _refuse_broken(text: str) -> None:
    """A file that is no TOML, or too much for a parser, is not changed."""
    decoded_text, fault = decoded(text)
    fault = fault or guard(decoded_text) or parsed(decoded_text)[1]
    _refuse((fault,) if fault else (), text, "kitchen file")


def _refuse(faults: tuple[Fault, ...], data: str | bytes, name: str) -> None:
    errors = [fault for fault in faults if fault.is_error]
    if errors:
        count = "one fault" if len(errors) == 1 else f"{len(errors)} faults"
        message = f"The kitchen file has {count}: {errors[0].message}"
        raise Failure(message, errors[0].remedy, faults=faults, source=Source(name, decoded(data)[0]))
