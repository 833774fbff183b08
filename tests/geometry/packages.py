"""Hand-made 3MF packages, whole and hostile."""

import io
import zipfile

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
START = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"

TETRAHEDRON = (
    '<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="6" y="0" z="0"/><vertex x="0" y="6" z="0"/>'
    '<vertex x="0" y="0" z="6"/></vertices><triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/>'
    '<triangle v1="1" v2="2" v3="3"/><triangle v1="0" v2="3" v3="2"/></triangles></mesh>'
)
"""Corners at 6 along each axis: V = 36."""


def model(resources: str, build: str, unit: str = "millimeter", more: str = "", before: str = "") -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{before}'
        f'<model unit="{unit}" xmlns="{CORE}" xmlns:p="{PRODUCTION}" {more}>'
        f"<resources>{resources}</resources><build>{build}</build></model>"
    )


def one_object(build: str = '<item objectid="1"/>', **more: str) -> str:
    return model(f'<object id="1" type="model">{TETRAHEDRON}</object>', build, **more)


def package(content: str | bytes, target: str = "/3D/3dmodel.model", **parts: bytes) -> bytes:
    """A package around one model part; further parts by name, with __ for a slash."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
        archive.writestr(
            "_rels/.rels",
            f'<Relationships xmlns="r"><Relationship Id="a" Type="{START}" Target="{target}"/></Relationships>',
        )
        archive.writestr("3D/3dmodel.model", content)
        for name, data in parts.items():
            archive.writestr(name.replace("__", "/"), data)
    return packed.getvalue()
