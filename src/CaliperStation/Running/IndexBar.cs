using CaliperStation.Core.Quantities;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>Shows how far the index is: what, how much, how long. A bar on a terminal, a line at the begin and end elsewhere.</summary>
internal sealed class IndexBar(TextWriter error, bool isTerminal)
{
    private const int Cells = 30;
    private const long WorthABar = 2_000;   // below that it is done before it is read

    /// <summary>Takes note of how far it is.</summary>
    internal void Show(IndexProgress progress)
    {
        if (progress.Total < WorthABar)
        {
            return;
        }

        bool done = progress.Done >= progress.Total;
        string words = FormattableString.Invariant($"index ({PrintableText.Escape(progress.Why)}): {progress.Done} of {progress.Total} events, {progress.Elapsed.TotalSeconds:0.0} s");
        if (isTerminal)
        {
            int full = (int)(Cells * progress.Done / Math.Max(1, progress.Total));
            error.Write($"\r[{new string('#', full)}{new string('.', Cells - full)}] {words}{(done ? "\n" : "")}");
        }
        else if (done || progress.Done == 0)
        {
            error.WriteLine(words);
        }
    }
}
