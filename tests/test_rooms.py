"""The rooms need one another one way: who may import whom is written here, and nothing goes in a circle."""

import ast
import subprocess
import sys
from graphlib import TopologicalSorter
from pathlib import Path

import fieldvoice
from fieldvoice.language.compiled import rules

PACKAGE = Path(fieldvoice.__file__).parent

MAY_IMPORT = {
    "records": set[str](),
    "stock": {"records"},
    "cutting": {"records", "errors"},
    "layout": {"records", "errors", "stock"},
    "files": {"records", "stock"},
    "fastening": {"records", "errors", "files"},
    "takeoff": {"records", "fastening"},
    "safety": {"records", "errors", "fastening"},
    "language": {"records", "files"},
    "wording": {"records", "language"},
    "errors": {"records", "wording"},
    "ears": {"records", "errors", "files"},
    "practice": {"records", "ears", "language", "files"},
    "journal": {"records", "errors", "files"},
    "jobs": {"records", "errors", "files", "journal"},
    "dialogue": {
        *("records", "errors", "journal", "language", "wording"),
        *("cutting", "layout", "stock", "fastening", "safety"),
    },
    "output": {
        *("records", "errors", "dialogue", "wording", "files"),
        *("cutting", "layout", "stock", "fastening", "takeoff"),
    },
    "page": {"records", "errors", "dialogue", "wording", "output", "ears", "files"},
}
"""What each room may know of, beside what `fieldvoice` itself holds. The commands join all of them."""


def _modules() -> dict[str, Path]:
    found = {}
    for file in PACKAGE.rglob("*.py"):
        parts = ("fieldvoice", *file.relative_to(PACKAGE).with_suffix("").parts)
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = file
    return found


def _imports() -> dict[str, set[str]]:
    """By module the modules of the package that it imports, those within functions among them."""
    modules = _modules()
    found: dict[str, set[str]] = {}
    for name, file in modules.items():
        found[name] = set()
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module is not None:
                wanted = {f"{node.module}.{each.name}" for each in node.names}
                found[name] |= {each if each in modules else node.module for each in wanted}
            elif isinstance(node, ast.Import):
                found[name] |= {each.name for each in node.names}
        found[name] = {each for each in found[name] if each in modules and each != name}
    return found


def _room(module: str) -> str:
    return [*module.split("."), ""][1]


WRITES = {
    "files.durable": "the one way",
    "cli": "a stream that leads nowhere",
    "commands.output": "the log of a fault of our own, which nobody misses half of",
    "ears.wav": "the bytes of a WAV, into memory",
    "ears.fetch": "a model that is fetched on where it broke off, and held against its sum",
}
"""The modules that write a file by themselves, and what."""


def _writes(tree: ast.Module) -> bool:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute | ast.Name):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
            modes = {each.value for each in node.args if isinstance(each, ast.Constant) and isinstance(each.value, str)}
            if name in {"write_bytes", "write_text", "NamedTemporaryFile", "mkstemp", "FileIO"}:
                return True
            if name == "open" and (any(set(mode) <= set("wxab+") for mode in modes) or "O_CREAT" in ast.dump(node)):
                return True
    return False


def test_a_file_is_written_in_one_way() -> None:
    """Whole or not at all, on the disk, and nothing of it left where the disk is full: only `durable` knows how."""
    writing = {name for name, file in _modules().items() if _writes(ast.parse(file.read_text(encoding="utf-8")))}
    assert {name.removeprefix("fieldvoice.") for name in writing} == set(WRITES)


def test_no_file_needs_itself_in_a_circle() -> None:
    """Neither do imports within functions make one."""
    order = list(TopologicalSorter(_imports()).static_order())
    assert len(order) > 200


def test_each_room_knows_those_that_it_may() -> None:
    """Who needs another room first says so here."""
    known: dict[str, set[str]] = {}
    for module, others in _imports().items():
        known.setdefault(_room(module), set()).update(map(_room, others))
    for room, may in MAY_IMPORT.items():
        assert known[room] <= {room, "", *may}, room


def test_no_room_hands_on_the_names_of_its_modules() -> None:
    """A name is imported from where it stands."""
    for name, file in _modules().items():
        if file.name == "__init__.py":
            body = ast.parse(file.read_text(encoding="utf-8")).body
            assert not any(isinstance(node, ast.Assign) and "__all__" in ast.unparse(node) for node in body), name


def test_to_understand_a_phrase_loads_neither_jobs_nor_arrays() -> None:
    """`fieldvoice parse` starts in a third of a second: what only jobs, plans, rooms and ears need is left alone. The
    first start of all makes the rules; here they are made before.
    """
    rules()
    code = "import runpy, sys\nsys.argv = ['fieldvoice', 'parse', 'top 46 7/8']\n"
    code += "try:\n    runpy.run_module('fieldvoice', run_name='__main__')\nexcept SystemExit:\n    pass\n"
    code += "import gc\nprint('searched', sum(each['collections'] for each in gc.get_stats()))\n"
    code += "print('loaded', *sys.modules)"
    command = [sys.executable, "-c", code]
    subprocess.run(command, capture_output=True, check=True)  # the first start works the language out
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    searched, _, loaded = ran.stdout.split("searched ")[1].partition("loaded ")
    assert int(searched) < 20  # for garbage, among the thousands of rules that all stay
    heavy = {"numpy", "lark", "fieldvoice.files.durable"}
    heavy |= {"fieldvoice.records.ledger", "fieldvoice.records.plan", "fieldvoice.records.room_plan"}
    assert "fieldvoice.language.understanding" in loaded.split()
    assert heavy.isdisjoint(loaded.split())
