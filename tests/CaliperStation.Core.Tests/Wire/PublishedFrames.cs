using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Tests.Wire;

/// <summary>The rows of TestData/frames.csv: published captures, manual examples and bug reports; each row names its source.</summary>
internal sealed record PublishedFrame(int Line, FrameFormat Format, string Raw, string Expected, string Unit, string Source)
{
    public static IReadOnlyList<PublishedFrame> All { get; } = Read();

    public bool IsInverted { get; private init; }

    /// <summary>The unit the instrument was set to, when the line does not name one; "display unit" is taken as millimetres.</summary>
    public LengthUnit AssumedUnit => Unit.StartsWith("in", StringComparison.Ordinal) ? LengthUnit.Inch : LengthUnit.Millimetre;

    public FrameOptions Options => FrameOptions.Default with { Ascii = new AsciiOptions(AssumedUnit) };

    /// <summary>Null when the row says that there is no value.</summary>
    public Length? Value => decimal.TryParse(Expected, NumberStyles.Number, CultureInfo.InvariantCulture, out decimal number) && Unit != "count"
        ? Length.FromNanometres((long)(number * (AssumedUnit == LengthUnit.Inch ? 25_400_000 : 1_000_000)))
        : null;

    public FrameBits Bits => FrameText.TryBits(Raw, Format, out FrameBits bits, out string why) ? bits : throw new InvalidOperationException(why);

    /// <summary>As a stream brings it: the line itself, or the line of a bridge.</summary>
    public byte[] Stream => Format == FrameFormat.Ascii
        ? FrameText.TryBytes(Raw, out byte[] bytes, out _) ? bytes : throw new InvalidOperationException(Raw)
        : Encoding.ASCII.GetBytes(BridgeLineEncoder.Encode(new(7, Format, Bits, 66_000, false, BridgePower.Unknown)) + "\r\n");

    public IFrameDecoder Decoder => Format == FrameFormat.Ascii ? new AsciiLineDecoder(Options.Ascii) : new BridgeLineDecoder(Options);

    private static List<PublishedFrame> Read()
    {
        string[] lines = File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "TestData", "frames.csv"));
        List<PublishedFrame> rows = [];
        for (int i = 1; i < lines.Length; i++)
        {
            List<string> cells = Cells(lines[i]);
            FrameFormat format = cells[0].Split(' ')[0] switch
            {
                "24-bit" => FrameFormat.Bits24,
                "7-nibble" => FrameFormat.Bcd7,
                "13-nibble" => FrameFormat.Bcd13,
                "ASCII" => FrameFormat.Ascii,
                string other => throw new InvalidOperationException(other),
            };
            rows.Add(new(i + 1, format, cells[1], cells[2], cells[3], cells[4]) { IsInverted = cells[0].Contains("INVERTED", StringComparison.Ordinal) });
        }

        return rows;
    }

    private static List<string> Cells(string line)
    {
        List<string> cells = [];
        StringBuilder cell = new();
        bool quoted = false;
        foreach (char here in line)
        {
            if (here == '"')
            {
                quoted = !quoted;
            }
            else if (here == ',' && !quoted)
            {
                cells.Add(cell.ToString());
                cell.Clear();
            }
            else
            {
                cell.Append(here);
            }
        }

        cells.Add(cell.ToString());
        return cells;
    }
}
