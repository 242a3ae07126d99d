using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Files;

namespace CaliperStation.Bench;

/// <summary>A bench in lines: in words, each line beginning with what it is, or as JSON.</summary>
internal sealed class LineOutput(TextWriter output, LengthDisplay show, bool json) : IBenchOutput
{
    /// <inheritdoc />
    public void Say(Said said)
    {
        if (json)
        {
            output.Write(BenchJson.Of(said) + "\n");
        }
        else
        {
            foreach ((string kind, string words) in BenchText.Lines(said, show))
            {
                output.Write(TableText.Lines(words, StandardStreams.Width, $"{kind}  ", "  "));
            }
        }

        output.Flush();
    }

    /// <inheritdoc />
    public void Ring(Sound sound)
    {
        // lines are read by a person with a reader of their own, or by a program
    }

    /// <inheritdoc />
    public void Show(BenchState state, TimeSpan now)
    {
        // each line was told when it happened
    }
}
