"""Bytes at paths, commit by commit, in a bare git repository. Open or make one through `vault.store.opening`."""
