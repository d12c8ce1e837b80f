"""`python -m survey_app` is the command line."""

from survey_app.cli import main

if __name__ == "__main__":
    main()
