using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Reports;

/// <summary>What the check of one file found.</summary>
/// <param name="File">What to call the file.</param>
/// <param name="Source">Its text.</param>
/// <param name="Load">The standard or its faults.</param>
public sealed record CheckedFile(string File, string Source, StandardLoad Load);

/// <summary>The answer of <c>standard check</c>.</summary>
public static class StandardCheck
{
    /// <summary>Faults with their carets, or a line that says the file is good; ends with a line feed.</summary>
    public static string Text(IEnumerable<CheckedFile> files)
    {
        StringBuilder text = new();
        foreach (CheckedFile file in files)
        {
            text.Append(FaultText.All(file.File, file.Source, file.Load.Faults));
            string name = PrintableText.Escape(file.File);
            int count = file.Load.Faults.Count;
            text.Append(file.Load.IsStandard
                ? string.Create(CultureInfo.InvariantCulture, $"{name}: good: {PrintableText.Escape(file.Load.Standard.Name)}, {file.Load.Standard.Steps.Count} steps, {file.Load.Standard.Relations.Count} rules\n")
                : string.Create(CultureInfo.InvariantCulture, $"{name}: {count} {(count == 1 ? "fault" : "faults")}\n"));
        }

        return text.ToString();
    }

    /// <summary>One JSON object a file, one a line: <c>file</c>, <c>good</c>, <c>name</c>, <c>edition</c>, <c>sha256</c>, <c>faults</c> of <c>line</c>, <c>column</c>, <c>message</c>, <c>instead</c>.</summary>
    public static string Json(IEnumerable<CheckedFile> files) => JsonText.Lines(files, (json, file) =>
    {
        json.WriteString("file", file.File);
        json.WriteBoolean("good", file.Load.IsStandard);
        if (file.Load.IsStandard)
        {
            json.WriteString("name", file.Load.Standard.Name);
            json.WriteString("edition", file.Load.Standard.Edition);
            json.WriteString("sha256", file.Load.Standard.Sha256);
        }

        json.WriteStartArray("faults");
        foreach (TextFault fault in file.Load.Faults)
        {
            json.WriteStartObject();
            json.WriteNumber("line", fault.Line);
            json.WriteNumber("column", fault.Column);
            json.WriteString("message", fault.Message);
            json.WriteString("instead", fault.Instead);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    });
}
