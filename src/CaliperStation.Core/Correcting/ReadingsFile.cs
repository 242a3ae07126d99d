using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Correcting;

/// <summary>A file of readings for one plan, or the faults of its text.</summary>
/// <param name="Readings">By step, each one take; empty when there is any fault.</param>
/// <param name="Faults">In the order of the text; empty when the file is good.</param>
public sealed record ReadingsFile(IReadOnlyDictionary<string, Measured> Readings, IReadOnlyList<TextFault> Faults)
{
    /// <summary>Lines beyond this are not read: no standard has as many steps.</summary>
    public const int MaxLines = 10_000;

    private const string Heading = "step,length";

    /// <summary>
    /// Reads lines of <c>step,length</c>, the length as <see cref="LengthText"/> takes it, a bare number in the standard's
    /// unit. Blank lines and lines that begin with <c>#</c> are passed over, and so is the heading
    /// <c>step,length</c> that a table is saved with. Nothing is thrown for what the text holds.
    /// </summary>
    public static ReadingsFile Read(Plan plan, string text)
    {
        Dictionary<string, Measured> readings = [];
        Dictionary<string, int> lines = [];
        List<TextFault> faults = [];
        int number = 0;
        foreach (ReadOnlySpan<char> raw in text.AsSpan().TrimStart('\uFEFF').EnumerateLines())
        {
            number++;
            ReadOnlySpan<char> line = raw.Trim();
            if (number > MaxLines)
            {
                faults.Add(new TextFault(number, 1, "there are too many lines", $"at most {MaxLines} lines"));
                break;
            }

            bool isHeading = readings.Count == 0 && line.Equals(Heading, StringComparison.OrdinalIgnoreCase) && plan.Standard.FindStep("step") is null;
            if (!line.IsEmpty && line[0] != '#' && !isHeading && Fault(plan, raw, number, readings, lines) is { } fault)
            {
                faults.Add(fault);
            }
        }

        return faults.Count > 0 ? new ReadingsFile(new Dictionary<string, Measured>(), faults) : new ReadingsFile(readings, []);
    }

    /// <summary>Takes one line; what is wrong with it, or null.</summary>
    private static TextFault? Fault(Plan plan, ReadOnlySpan<char> line, int number, Dictionary<string, Measured> readings, Dictionary<string, int> lines)
    {
        int start = line.Length - line.TrimStart().Length;
        int comma = line.IndexOf(',');
        if (comma < 0)
        {
            return new TextFault(number, start + 1, "there is no comma", "the step's id, a comma, the length: rack-left,1 11/32 in");
        }

        string step = line[..comma].Trim().ToString();
        if (plan.FindStep(step) is null)
        {
            return new TextFault(number, start + 1, Unknown(plan, step), Instead(plan, step));
        }

        ReadOnlySpan<char> after = line[(comma + 1)..];
        LengthParse parsed = LengthText.Parse(after.Trim().ToString(), plan.Standard.Unit);
        if (!parsed.IsLength)
        {
            int lead = after.Length - after.TrimStart().Length;
            return new TextFault(number, comma + 2 + lead + parsed.Fault.Position, parsed.Fault.Message, "a length such as 1 11/32 in, 11½ t or 34.13 mm");
        }

        if (!lines.TryAdd(step, number))
        {
            return new TextFault(number, start + 1, $"step {step} was read on line {lines[step]} already", "each step once");
        }

        Length resolution = TypedRule.Default.ResolutionOf(parsed.Value);
        readings[step] = Budget.Of(plan.Standard.Judging, resolution, 1).Measure(ExactLength.From(parsed.Value.Value));
        return null;
    }

    private static string Unknown(Plan plan, string step) => plan.Standard.FindStep(step) is null
        ? $"there is no step \"{PrintableText.Escape(Short(step))}\""
        : $"step {step} does not apply with these answers";

    private static string Instead(Plan plan, string step) => plan.Standard.FindStep(step) is not null
        ? "readings of steps that apply, or other answers"
        : NearestName.To(step, plan.Steps.Select(known => known.Id)) ?? "one of the steps that standard show lists";

    private static string Short(string name) => name.Length <= 60 ? name : name[..60] + "…";
}
