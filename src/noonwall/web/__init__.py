"""The workbench: the builder's project in a browser on the builder's own machine. No physics here, no SQL."""
