using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Reports;

/// <summary>What the check of one file found.</summary>
/// <param name="File">What to call the file.</param>
/// <param name="Source">Its text.</param>
/// <param name="Load">The standard or its faults.</param>
public sealed record CheckedFile(string File, string Source, StandardLoad Load)
{
    /// <summary>What a review of the whole found; empty where it does not load.</summary>
    public IReadOnlyList<Finding> Findings { get; } = Load.IsStandard ? StandardReview.Of(Load.Standard) : [];

    /// <summary>Everything that is at fault.</summary>
    public IReadOnlyList<TextFault> Faults => [.. Load.Faults, .. Findings.Where(finding => !finding.IsWarning).Select(finding => finding.Fault)];

    /// <summary>What may be meant.</summary>
    public IReadOnlyList<TextFault> Warnings => [.. Findings.Where(finding => finding.IsWarning && !finding.IsNote).Select(finding => finding.Fault)];

    /// <summary>What the review could not look at.</summary>
    public IReadOnlyList<TextFault> Notes => [.. Findings.Where(finding => finding.IsNote).Select(finding => finding.Fault)];

    /// <summary>True when nothing is at fault.</summary>
    public bool IsGood => Faults.Count == 0;
}

/// <summary>The answer of <c>standard check</c>.</summary>
public static class StandardCheck
{
    /// <summary>Faults with their carets, or a line that says the file is good; ends with a line feed.</summary>
    public static string Text(IEnumerable<CheckedFile> files)
    {
        StringBuilder text = new();
        foreach (CheckedFile file in files)
        {
            text.Append(FaultText.All(file.File, file.Source, file.Faults));
            text.Append(FaultText.All(file.File, file.Source, file.Warnings.Select(warning => warning with { Message = "warning: " + warning.Message })));
            text.Append(FaultText.All(file.File, file.Source, file.Notes.Select(note => note with { Message = "note: " + note.Message })));
            string warnings = file.Warnings.Count == 0 ? string.Empty : ", " + Counted.Of(file.Warnings.Count, "warning");
            text.Append(TableText.Line(file.IsGood && file.Load.IsStandard
                ? string.Create(CultureInfo.InvariantCulture, $"{file.File}: good: {file.Load.Standard.Name}, {file.Load.Standard.Steps.Count} steps, {file.Load.Standard.Relations.Count} rules{warnings}")
                : $"{file.File}: {Counted.Of(file.Faults.Count, "fault")}{warnings}"));
        }

        return text.ToString();
    }

    /// <summary>One JSON object a file, one a line: <c>file</c>, <c>good</c>, <c>name</c>, <c>edition</c>, <c>sha256</c>, <c>faults</c> of <c>line</c>, <c>column</c>, <c>message</c>, <c>instead</c>; <c>warnings</c> and <c>notes</c> of the same.</summary>
    public static string Json(IEnumerable<CheckedFile> files) => JsonText.Lines(files, (json, file) =>
    {
        json.WriteString("file", file.File);
        json.WriteBoolean("good", file.IsGood);
        if (file.Load.IsStandard)
        {
            json.WriteString("name", file.Load.Standard.Name);
            json.WriteString("edition", file.Load.Standard.Edition);
            json.WriteString("sha256", file.Load.Standard.Sha256);
        }

        Write(json, "faults", file.Faults);
        Write(json, "warnings", file.Warnings);
        Write(json, "notes", file.Notes);
    });

    private static void Write(Utf8JsonWriter json, string name, IReadOnlyList<TextFault> faults) => JsonText.Objects(json, name, faults, fault =>
    {
        json.WriteNumber("line", fault.Line);
        json.WriteNumber("column", fault.Column);
        json.WriteString("message", fault.Message);
        json.WriteString("instead", fault.Instead);
    });
}
