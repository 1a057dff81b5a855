"""`python -m pathgen`: the same as the console command."""

from pathgen.cli import run

if __name__ == "__main__":
    run()
