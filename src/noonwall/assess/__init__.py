"""A simulated year turned into answers: each question has one frozen record, none of them knows a face."""
