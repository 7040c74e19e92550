"""Charts can be described without the drawing library, and loaded when it is wanted."""

from __future__ import annotations

import subprocess
import sys


def test_the_drawing_library_comes_with_the_first_drawing_only() -> None:
    code = (
        "import sys\n"
        "import takestats.charts.takes, takestats.charts.bench_map, takestats.charts.curve\n"
        "import takestats.charts.figure_files\n"
        "before = 'matplotlib' in sys.modules\n"
        "from takestats.charts.loaded import load_drawing\n"
        "load_drawing()\n"
        "print(before, 'matplotlib' in sys.modules, 'matplotlib.pyplot' in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "True", "False"]
