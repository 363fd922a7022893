"""An enquiry for rubber-lined concentric butterfly valves in, a defended offer out."""

__version__ = "0.1.0"
