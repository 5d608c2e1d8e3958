"""Walls and ceilings as DXF: what another program reads of them is the plan, to scale, layer by layer."""

from __future__ import annotations

import random
from itertools import combinations
from pathlib import Path

import ezdxf.filemanagement
import pytest
from ezdxf.entities.line import Line
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.layouts.layout import Modelspace
from shapely import Polygon

from fieldvoice.cli import run
from fieldvoice.output.dxf import surface_dxf
from fieldvoice.records.length import Unit
from fieldvoice.records.room_plan import JointKind, RoomPlan
from fieldvoice.takeoff import net_area
from fieldvoice.wording.captions import opening_figures, opening_names
from tests.layout.houses import house_of, house_text, lake_house, plan_at_once
from tests.layout.test_peaks import peaked


def alone(space: Modelspace) -> None:
    """No text of a layer lies on another one, were each letter as wide as it is high."""
    for layer in ("NOTES", "NOTES_2", "NOTES_3"):
        frames = []
        for text in space.query(f'TEXT[layer=="{layer}"]'):
            high, (x, y, _) = text.dxf.height, text.dxf.insert
            frames.append((x, y - high / 4, x + high * len(text.dxf.text), y + high, text.dxf.text))
        for a, b in combinations(frames, 2):
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (a, b)


def drawn(plan: RoomPlan, folder: Path) -> None:
    """Every surface of a plan is read back and held to it."""
    for number, one in enumerate(plan.surfaces):
        file = folder / f"{number}.dxf"
        file.write_bytes(surface_dxf(one, plan.unit))
        assert file.read_bytes() == surface_dxf(one, plan.unit)
        document = ezdxf.filemanagement.readfile(file)
        assert not document.audit().errors
        assert not document.audit().fixes
        space = document.modelspace()

        def area(layer: str, space: Modelspace = space) -> float:
            found = [each for each in space.query(f'LWPOLYLINE[layer=="{layer}"]') if isinstance(each, LWPolyline)]
            return float(sum(Polygon([(x, y) for x, y, *_ in each.get_points()]).area for each in found))

        alone(space)
        told = {text.dxf.text for text in space.query('TEXT[layer=="NOTES"]')}
        for name, opening in zip(opening_names(one.surface.openings), one.surface.openings, strict=True):
            assert {name, *opening_figures(opening, one.surface.kind, plan.unit)} <= told

        surface, scale = one.surface, 25.4**2 if plan.unit is Unit.MM else 1.0
        assert area("OUTLINE") - area("OPENINGS") == pytest.approx(float(net_area(surface)) * scale)
        for layer in range(1, surface.layers + 1):
            name = "" if layer == 1 else f"_{layer}"
            pieces = [piece for piece in one.pieces if piece.layer == layer]
            assert len(space.query(f'LWPOLYLINE[layer=="BOARDS{name}"]')) == len(pieces)
            texts = [text.dxf.text for text in space.query(f'TEXT[layer=="NOTES{name}"]')]
            assert {f"{piece.name.number}:" for piece in pieces} <= {text.split()[0] for text in texts}
            for kind, joints in ((JointKind.BUTT, "BUTT_JOINTS"), (JointKind.TAPERED, "TAPERED_JOINTS")):
                lines = [each for each in space.query(f'LINE[layer=="{joints}{name}"]') if isinstance(each, Line)]
                meant = [joint.length for joint in one.joints if (joint.kind, joint.layer) == (kind, layer)]
                long = sum(float(each.inches) for each in meant) * scale**0.5
                assert sum((each.dxf.end - each.dxf.start).magnitude for each in lines) == pytest.approx(long)


@pytest.mark.parametrize("seed", range(6))
def test_a_drawn_house_is_read_back(seed: int, tmp_path: Path) -> None:
    """Level, sloped, in layers, in inches and millimeters."""
    drawn(plan_at_once(house_of(house_text(random.Random(seed)))), tmp_path)
    drawn(plan_at_once(house_of(peaked(seed, layers=1 + seed % 2))), tmp_path)


def test_a_file_a_surface_in_a_new_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Named by its place and name; a folder that is there is left as it is."""
    house = tmp_path / "shed.toml"
    part = '[[wall]]\nroom = "shed/1"\nname = "{}"\nwidth = "40"\nheight = "90"\nstuds = "16 on center from left"\n'
    house.write_text('[job]\nsheets = ["48 x 96"]\n' + part.format("north") + part.format("../north"))
    out = tmp_path / "drawings"
    assert run(["room", str(house), "--dxf", str(out)]) == 0
    names = sorted(each.name for each in out.iterdir())
    assert names == ["01_shed_1_north.dxf", "02_shed_1____north.dxf"]
    assert run(["room", str(house), "--dxf", str(out)]) == 65
    assert "already there" in capsys.readouterr().err
    assert sorted(each.name for each in out.iterdir()) == names


def test_the_lake_house(tmp_path: Path) -> None:
    """The house that comes along."""
    drawn(plan_at_once(lake_house()), tmp_path)
