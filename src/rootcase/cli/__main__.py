"""Start the command line; stopped while it still loads, it ends without a word."""

import signal


def start() -> None:
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    from rootcase.cli.main import main

    main()


start()
