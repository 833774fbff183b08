"""The evidence: what measured pieces say about the process. Numbers in, numbers out; no files, no register."""
