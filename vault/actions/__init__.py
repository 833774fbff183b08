"""What a person can do: one function per verb, each of them gather, decide, write."""
