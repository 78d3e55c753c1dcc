"""Answers made visible: tables and sentences for a terminal, JSON documents, figures."""
