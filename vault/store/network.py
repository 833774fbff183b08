"""Is a folder on a network share? Locks and renames cannot be trusted there by writers on several machines.

Linux tells by its list of mounts. On Windows a path that begins with two backslashes is a share (a mapped drive
letter is not noticed), and elsewhere nothing is known: there the answer is no.
"""

import re
import sys
from pathlib import Path, PurePath

_SHARED_TYPES = frozenset(
    {"nfs", "nfs4", "cifs", "smb2", "smb3", "smbfs", "9p", "afs", "ncpfs", "davfs", "virtiofs", "vboxsf"}
    | {"ceph", "glusterfs", "lustre", "gfs2", "ocfs2"}
    | {"fuse.sshfs", "fuse.rclone", "fuse.smbnetfs", "fuse.davfs2", "fuse.gvfsd-fuse", "fuse.s3fs"}
    | {"fuse.ceph", "fuse.glusterfs"}
)


def network_share(folder: Path) -> str | None:
    """Return the kind of network file system that `folder` lies on, or None where it is local or not known."""
    resolved = folder.resolve()
    if sys.platform == "linux":
        return shared_type(resolved, Path("/proc/self/mounts").read_text("utf-8", "replace"))
    return "a network share" if str(resolved).startswith("\\\\") else None


def shared_type(folder: PurePath, mounts: str) -> str | None:
    """Return the network file system that holds `folder` by a list of mounts as in /proc/mounts, or None."""
    best, kind = -1, ""
    for line in mounts.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        place = PurePath(_unescaped(fields[1]))
        if folder.is_relative_to(place) and len(place.parts) >= best:  # of two on one place the later one is seen
            best, kind = len(place.parts), fields[2]
    return kind if kind in _SHARED_TYPES else None


def _unescaped(text: str) -> str:
    r"""Undo the octal escapes of /proc/mounts: "a\040b" -> "a b"."""
    return re.sub(r"\\([0-7]{3})", lambda found: chr(int(found[1], 8)), text)
