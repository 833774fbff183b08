"""Files that the story's people send and receive: models, drawings and mails, written into a scratch folder."""

from collections.abc import Mapping
from pathlib import Path

from demo_vault import parts, writers
from demo_vault.scenario.facts import FileKind, PartFact
from demo_vault.scenario.shop import WATERMARK
from demo_vault.shapes.solids import Design

_ENDING: Mapping[FileKind, str] = {"stl": "stl", "stl text": "stl", "3mf": "3mf", "obj": "obj", "ply": "ply"}


def model_file(folder: Path, fact: PartFact, label: str, kind: FileKind, design: Design | None = None) -> Path:
    """Write the model of a revision as the customer would send it, and return the file."""
    mesh = parts.mesh(design or fact.design_at(label))
    title = f"{fact.customer_number} {label}"
    match kind:
        case "stl":
            content = writers.stl_binary(mesh, title)
        case "stl text":
            content = writers.stl_text(mesh, title)
        case "obj":
            content = writers.obj_text(mesh, title)
        case "ply":
            content = writers.ply_binary(mesh, title)
        case "3mf":
            content = _threemf(mesh, title)
    return _write(folder, f"{fact.customer_number}_{label}.{_ENDING[kind]}", content)


def _threemf(mesh: parts.PartMesh, title: str) -> bytes:
    from vault.geometry.mesh import Shape
    from vault.geometry.threemf import write_3mf

    vertices, faces = mesh
    shape = Shape(vertices, faces, format="demo", unit="mm", unit_basis="drawn in mm", file_sha256="0" * 64)
    return write_3mf(shape, name=title)


def mail(folder: Path, name: str, sender: str, words: str) -> Path:
    """Write a mail as text, and return the file."""
    text = f"From: {sender}\nSubject: {name}\n\n{words}\n\n({WATERMARK})\n"
    return _write(folder, f"{name}.txt", text.encode())


def _write(folder: Path, name: str, content: bytes) -> Path:
    path = folder / "".join(char if char.isalnum() or char in "._- " else "-" for char in name)
    path.write_bytes(content)
    return path
