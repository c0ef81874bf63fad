"""The command line: ``python -m leadsheet_theory``, a module a command."""

__all__ = ()
