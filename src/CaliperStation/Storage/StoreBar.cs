using CaliperStation.Core.Quantities;

namespace CaliperStation.Storage;

/// <summary>Shows how far the opening of a store is, from one second on: a bar on a terminal, a line at its begin and end elsewhere.</summary>
internal sealed class StoreBar(TextWriter error, bool isTerminal)
{
    private const int Cells = 30;
    private static readonly TimeSpan WorthABar = TimeSpan.FromSeconds(1);

    private string? _shown;   // what is under way on the terminal's last line

    /// <summary>Takes note of how far it is.</summary>
    internal void Show(StoreProgress progress)
    {
        bool done = progress.Done >= progress.Total;
        if (_shown != progress.Why && (done || progress.Elapsed < WorthABar))
        {
            return;
        }

        bool isFirst = _shown != progress.Why;
        _shown = done ? null : progress.Why;
        double share = done ? 1 : (double)progress.Done / progress.Total;
        string words = FormattableString.Invariant($"{PrintableText.Escape(progress.Why)}: {100 * share:0} %, {progress.Elapsed.TotalSeconds:0.0} s");
        if (isTerminal)
        {
            int full = (int)(Cells * share);
            error.Write($"\r[{new string('#', full)}{new string('.', Cells - full)}] {words}{(done ? "\n" : "")}");
        }
        else if (done || isFirst)
        {
            error.WriteLine(words);
        }
    }
}
