"""``python -m noonwall`` is the command ``noonwall``."""

from noonwall.cli.main import main

if __name__ == "__main__":
    main()
