"""QR codes as SVG, for paper and for pages."""

import io

import segno


def qr_svg(text: str) -> str:
    """Return `text` as a QR code (ISO/IEC 18004, error correction M or better) in a self-contained SVG element.

    The quiet zone of four modules is part of the picture.
    """
    code = segno.make(text, error="m", micro=False)
    out = io.BytesIO()
    code.save(out, kind="svg", border=4, xmldecl=False, svgns=True, omitsize=True, nl=False)
    return out.getvalue().decode()
