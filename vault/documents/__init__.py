"""Paper: PDF pages set by typst, HTML pages by Jinja2, QR codes by segno. Values come in, bytes go out."""
