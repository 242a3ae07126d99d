using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace CaliperStation.Running;

/// <summary>What a bench is set to, from <c>settings.toml</c>; the command line goes over it.</summary>
/// <param name="Port">A port's name, <c>auto</c>, <c>emulated</c> or <c>none</c>.</param>
/// <param name="Serial">Rate and framing of the line.</param>
/// <param name="Unit">The unit of lines that name none, or null to refuse such lines.</param>
/// <param name="MaskBit8">True for instruments that leave bit 8 undefined.</param>
internal sealed record Settings(string Port, string Serial, LengthUnit? Unit, bool MaskBit8)
{
    /// <summary>Used when there is no file.</summary>
    internal static Settings Usual { get; } = new("auto", "9600-8N1", null, false);

    /// <summary>Reads the file, if there is one.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it with its line.</exception>
    internal static Settings Load(string path) => File.Exists(path) ? Parse(StandardSource.ReadText(path), path) : Usual;

    /// <summary>Reads the text of a settings file.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it with its line.</exception>
    internal static Settings Parse(string text, string path)
    {
        DocumentSyntax document = SyntaxParser.Parse(text, path, validate: true);
        List<string> faults = [.. document.Diagnostics.Select(message => At(message.Span, PrintableText.Escape(message.Message)))];
        Settings settings = Usual;
        foreach (KeyValueSyntax pair in document.KeyValues)
        {
            string key = pair.Key?.ToString().Trim() ?? "";
            string? value = (pair.Value as StringValueSyntax)?.Value;
            bool? flag = (pair.Value as BooleanValueSyntax)?.Value;
            switch (key)
            {
                case "port" when value is not null:
                    settings = settings with { Port = value };
                    break;
                case "serial" when value is not null && SerialSettings.Parse("port", value, out string? refusal) is null:
                    faults.Add(At(pair.Span, $"serial: {refusal}"));
                    break;
                case "serial" when value is not null:
                    settings = settings with { Serial = value };
                    break;
                case "unit" when value is "in" or "mm":
                    settings = settings with { Unit = value == "in" ? LengthUnit.Inch : LengthUnit.Millimetre };
                    break;
                case "mask-bit-8" when flag is not null:
                    settings = settings with { MaskBit8 = flag.Value };
                    break;
                default:
                    faults.Add(At(pair.Span, $"{PrintableText.Escape(key)} is no setting, or not of this kind; known: port = \"auto\", serial = \"9600-8N1\", unit = \"in\" or \"mm\", mask-bit-8 = true"));
                    break;
            }
        }

        faults.AddRange(document.Tables.Select(table => At(table.Span, "settings have no tables")));
        return faults.Count == 0
            ? settings
            : throw new StationException(ExitCode.BadFile, new StringBuilder().AppendJoin('\n', faults.Select(fault => $"{PrintableText.Escape(path)}:{fault}")).ToString());
    }

    private static string At(SourceSpan span, string words) => FormattableString.Invariant($"{span.Start.Line + 1}:{span.Start.Column + 1}: {words}");
}
