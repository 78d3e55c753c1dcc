"""The engine: a project and its weather in, a Year out."""
