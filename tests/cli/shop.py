"""A register on a real git store, worked through the real entry point: `shop("ready", "BRK-204")` runs one command."""

import contextlib
import io
import json
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.fakes import FakeClock
from tests.shapes import Mesh, box, bracket
from vault.actions.context import Vault
from vault.cli.main import run
from vault.wiring import new_vault, open_vault

DUE = "2026-06-01"
EXPORT = "control.status=classified, no licence needed to the places named"
CHARACTERISTICS = """number,name,form,nominal,lower,upper,unit,key,direction,requirement
1,width,variable,30,29.9,30.1,mm,yes,x,
2,no open seam,attribute,,,,,no,,no seam to be seen
"""


@dataclass(frozen=True)
class Ran:
    """What one command did: its exit code, stdout and stderr."""

    code: int
    out: str
    err: str

    @property
    def form(self) -> Any:
        """What `--json` printed."""
        return json.loads(self.out)


class Shop:
    """A register's folder, and a command line on it. Each command comes a minute after the one before."""

    def __init__(self, folder: Path, clock: FakeClock | None = None) -> None:
        self.folder = folder
        self.clock = clock or FakeClock()

    @property
    def register(self) -> Path:
        return self.folder / "register"

    def start(self) -> "Shop":
        new_vault(self.register, "Hallbeck Sintering", "mira", "Mira Hall", clock=self.clock).close()
        return self

    def __call__(self, *argv: str) -> Ran:
        """Run a command on this register."""
        return self.bare("--register", str(self.register), *argv)

    def bare(self, *argv: str) -> Ran:
        """Run a command without naming the register."""
        self.clock.advance(minutes=1)
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = run(self._open, argv)
        return Ran(code, out.getvalue(), err.getvalue())

    def done(self, *argv: str) -> Ran:
        """Run a command that must succeed."""
        ran = self(*argv)
        assert ran.code == 0, f"{argv}: {ran.code}\n{ran.out}{ran.err}"
        return ran

    def _open(self, folder: Path, me: str | None, shared_folder: bool) -> Vault:
        return open_vault(folder, me, self.clock, shared_folder)

    @property
    def head(self) -> str:
        """The newest commit."""
        with open_vault(self.register, clock=self.clock) as vault:
            return vault.store.head()

    def day(self, days: int) -> str:
        """Return a day so many days from now, as it is typed."""
        return str((self.clock.now() + timedelta(days=days)).date())

    def file(self, name: str, content: str | bytes = "") -> str:
        """Write a file beside the register and return its path."""
        place = self.folder / name
        place.write_bytes(content.encode() if isinstance(content, str) else content)
        return str(place)

    def stl(self, name: str, mesh: Mesh) -> str:
        """Write a mesh as an ASCII STL beside the register and return its path."""
        return self.file(name, ascii_stl(mesh))


def ascii_stl(mesh: Mesh) -> str:
    """Return a mesh as an ASCII STL; the normals are left to the reader, as many programs do."""
    vertices, faces = mesh
    facets = [
        "facet normal 0 0 0\nouter loop\n"
        + "".join(f"vertex {x:.6f} {y:.6f} {z:.6f}\n" for x, y, z in vertices[face])
        + "endloop\nendfacet\n"
        for face in faces
    ]
    return f"solid part\n{''.join(facets)}endsolid part\n"


def a_settings_form() -> dict[str, Any]:
    """Return a filled-in settings form; the numbers are invented."""
    return {
        "machine": "PRN-1",
        "material": "17-4PH",
        "powder_specification": "PS-17 issue 3",
        "printing": {
            "layer_um": 50, "binder": "BD-1", "binder_of_pore_volume_percent": 60, "wait_after_jetting_s": 8,
            "drying_s": 10, "drying_c": 60,
        },
        "scale": {"x": 1.18, "y": 1.18, "z": 1.21},
        "print_orientation": "+x+y+z",
        "sinter_orientation": "+x+y+z",
        "cure": {"peak_c": 200, "hold_min": 240, "atmosphere": "air"},
        "depowdering": "brush, then air",
        "debind": a_cycle("DB 1", 450, "argon"),
        "sinter": a_cycle("SN 1", 1300, "hydrogen"),
        "setter": {"material": "alumina", "layout": "flat, foot down", "pieces_per_setter": 12},
        "inspection": [{"characteristics": ["1", "2"], "how_many": "100 %", "gauge": "CAL-3"}],
        "reason": "first settings",
    }  # fmt: skip


def a_cycle(name: str, target_c: float, atmosphere: str) -> dict[str, Any]:
    """Return a furnace cycle of one segment."""
    segment = {"ramp_c_per_h": 120, "target_c": target_c, "hold_min": 120, "atmosphere": atmosphere}
    return {"name": name, "furnace": "FUR-1", "segments": [segment]}


def with_cards(shop: Shop) -> Shop:
    """Add everybody and everything that a part needs before it can be recorded and made."""
    for handle, role in (("edda", "engineer"), ("quin", "quality"), ("cleo", "clerk"), ("rolf", "reader")):
        shop.done("person", "add", handle, "--name", handle.title(), "--roles", role)
    shop.done("customer", "add", "NORTHFELL", "--name", "Northfell Pumps")
    shop.done(
        "material", "add", "17-4PH", "--name", "17-4PH", "--alloy-family", "precipitation-hardening steel",
        "--reference-density-g-cm3", "7.8", "--reference-density-source", "invented for the test",
        "--sintered-density-g-cm3", "7.6", "--reactive", "no", "--contains-nickel", "yes",
        "--setter-materials", "alumina",
    )  # fmt: skip
    shop.done("box", "add", "BX-1", "--name", "large box", "--size-mm", "400,250,200", "--layer-s", "12")
    shop.done("machine", "add", "PRN-1", "--name", "printer one", "--site", "hall", "--boxes", "BX-1")
    shop.done(
        "furnace", "add", "FUR-1", "--name", "furnace one", "--site", "hall", "--max-c", "1400", "--hot-zone-mm",
        "400,300,300", "--trays", "6", "--metal-limit-kg", "40", "--binder-limit-kg", "1",
    )  # fmt: skip
    shop.done(
        "gauge", "add", "CAL-3", "--name", "caliper 150", "--resolution-mm", "0.01", "--calibrated-on", "2026-01-10",
        "--calibration-due", "2027-01-10",
        "--set", 'study={"percent_of_tolerance": 8.0, "studied_on": "2026-01-12"}',
    )  # fmt: skip
    shop.done(
        "part", "add", "BRK-204", "--customer", "NORTHFELL", "--customer-number", "4471", "--description",
        "pump bracket", "--design-authority", "customer", "--material", "17-4PH", "--criticality", "ordinary",
        "--set", EXPORT,
    )  # fmt: skip
    return shop


def with_revisions(shop: Shop) -> Shop:
    """Record rev B and rev C of the bracket, and release and accept both."""
    mail = shop.file("acceptance.txt", "Accepted. A. Lund")
    for label, mesh in (("B", bracket()), ("C", bracket(wall_mm=0.4))):
        design = shop.stl(f"bracket-{label}.stl", mesh)
        shop.done(
            "revise", "BRK-204", design, "--label", label, "--because", f"rev {label} of the drawing", "--unit", "mm"
        )
        shop.done("release", f"BRK-204@{label}")
        shop.done(
            "accept", f"BRK-204@{label}", "--evidence", mail, "--accepted-by", "A. Lund", "--basis", "sample approval"
        )
    return shop


def with_settings(shop: Shop) -> Shop:
    """Record the requirements of rev C and settings for it."""
    table = shop.file("characteristics.csv", CHARACTERISTICS)
    shop.done("requirements", "record", "BRK-204@C", table, "--drawing-compared")
    shop.done("settings", "add", "BRK-204@C", shop.file("settings.json", json.dumps(a_settings_form())))
    return shop


def a_cube(edge_mm: float) -> Mesh:
    """Return a cube."""
    return box(edge_mm, edge_mm, edge_mm)
