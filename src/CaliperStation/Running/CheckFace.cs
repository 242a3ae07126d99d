using CaliperStation.Cli;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;

namespace CaliperStation.Running;

/// <summary>How the check speaks: a line for everything that happens, in words or as JSON. The JSON names are a promise: additions only.</summary>
internal sealed class CheckFace(TextWriter output, bool json)
{
    internal const string Caution =
        "Handle blocks with gloves or clean pliers: they rust from bare fingers, and a dropped one is a hurt foot and a spoilt block. Wipe blocks and jaws with a clean cloth; mind the knife edges of the jaws.";

    internal static string Ask(Length block) => block == Length.Zero
        ? "Wipe the jaws, close them lightly, zero the caliper, open and close it once more, and read"
        : $"Read the block of {LengthFormat.ShowExact(block)}, near the root of the jaws, lightly, until the value rests";

    internal void Prompt(int point, int of, Length block)
    {
        if (json)
        {
            Line(JsonText.Object(writer =>
            {
                writer.WriteString("event", "prompt");
                writer.WriteString("kind", "check");
                writer.WriteString("step", StepOf(point));
                writer.WriteNumber("blockNm", block.Nanometres);
                writer.WriteString("ask", Ask(block));
                if (point == 0)
                {
                    writer.WriteString("caution", Caution);
                }
            }));
            return;
        }

        if (point == 0)
        {
            Line($"caution  {Caution}");
        }

        Line(FormattableString.Invariant($"check [{point + 1}/{of}]  {Ask(block)}"));
    }

    internal void Reading(int point, CaliperCheck check, CheckPoint read, ReadingSource source)
    {
        string verdict = check.IsPointWithin(read) ? "within" : "outside";
        Line(json
            ? JsonText.Object(writer =>
            {
                writer.WriteString("event", "reading");
                writer.WriteString("step", StepOf(point));
                writer.WriteNumber("valueNm", read.Shown.Nanometres);
                writer.WriteString("source", SittingEventJson.SourceName(source));
                writer.WriteNumber("errorNm", read.Error.Nanometres);
                writer.WriteString("verdict", verdict);
            })
            : $"{verdict}  {LengthFormat.ShowExact(read.Block)}: shows {LengthFormat.Show(read.Shown, LengthDisplay.Millimetre)}, error {Signed(read.Error)}, {SittingEventJson.SourceName(source)}");
    }

    internal void Refused(string why) => Line(json
        ? JsonText.Object(writer =>
        {
            writer.WriteString("event", "refused");
            writer.WriteString("why", why);
        })
        : $"refused  {why}");

    internal void Done(CaliperCheck check, string port, string? shortfall) => Line(json
        ? JsonText.Object(writer =>
        {
            writer.WriteString("event", "check");
            writer.WriteBoolean("within", check.IsWithin);
            writer.WriteString("port", port);
            writer.WriteNumber("rangeNm", check.Range.Nanometres);
            writer.WriteNumber("permissibleNm", check.Permissible.Nanometres);
            writer.WriteNumber("largestErrorNm", check.Worst.Error.Nanometres);
            writer.WriteNumber("points", check.Points.Count);
            if (shortfall is not null)
            {
                writer.WriteString("shortfall", shortfall);
            }
        })
        : FormattableString.Invariant(
            $"{(check.IsWithin ? "within" : "outside")}  {check.Points.Count} points, largest error {Signed(check.Worst.Error)} at {LengthFormat.ShowExact(check.Worst.Block)}, permissible {LengthFormat.ShowExact(check.Permissible)}"));

    private static string StepOf(int point) => FormattableString.Invariant($"point-{point + 1}");

    /// <summary>Every digit: an error of a few micrometres is the matter here.</summary>
    private static string Signed(Length error) =>
        $"{(error > Length.Zero ? "+" : error < Length.Zero ? "-" : "")}{FormattableString.Invariant($"{error.Abs().Nanometres / 1_000_000m:0.00####}")} mm";

    private void Line(string text)
    {
        output.Write((json ? text : PrintableText.Escape(text)) + "\n");
        output.Flush();
    }
}
