using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>Some bytes that came together, with the time since the line was opened.</summary>
internal sealed record CaptureLine(TimeSpan SinceOpen, byte[] Bytes);

/// <summary>One line of a capture file: <c>1234.5 "+12.34 mm\r\n"</c>. The page docs/capture-format.md says the same in words.</summary>
internal static class CaptureText
{
    /// <summary>The first line of every capture; the number is the format's.</summary>
    internal const string Header = "# caliper-station capture 1";

    /// <summary>Longer than any piece the reading loop takes in one go, written as \xNN throughout.</summary>
    internal const int MaxLineLength = (4096 * 4) + 64;

    internal const string NoCapture = $"this is no capture: it must begin with \"{Header}\"";
    internal const string NoTime = "it must begin with the time in milliseconds and one blank";
    internal const string TooLong = "it is too long";
    internal const string TimeGoesBack = "its time lies before the line above";
    internal const string Nothing = "there is nothing in it to play";

    private static readonly TimeSpan _longest = TimeSpan.FromDays(7);

    internal static string Format(TimeSpan sinceOpen, ReadOnlySpan<byte> bytes)
    {
        StringBuilder line = new(bytes.Length + 16);
        line.Append(Math.Round(sinceOpen.TotalMilliseconds, 1).ToString("0.0", CultureInfo.InvariantCulture)).Append(" \"");
        foreach (byte value in bytes)
        {
            line.Append(value switch
            {
                (byte)'\r' => "\\r",
                (byte)'\n' => "\\n",
                (byte)'"' => "\\\"",
                (byte)'\\' => "\\\\",
                >= 0x20 and <= 0x7E => ((char)value).ToString(),
                _ => "\\x" + value.ToString("X2", CultureInfo.InvariantCulture),
            });
        }

        return line.Append('"').ToString();
    }

    /// <summary>Reads one line; null with the reason when it is none.</summary>
    internal static CaptureLine? Parse(string line, out string? fault)
    {
        int blank = line.IndexOf(' ', StringComparison.Ordinal);
        if (blank < 0 || !decimal.TryParse(line[..blank], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal milliseconds)
            || milliseconds > (decimal)_longest.TotalMilliseconds)
        {
            fault = NoTime;
            return null;
        }

        byte[]? bytes = EscapedBytes.Quoted(line[(blank + 1)..], out fault);
        return bytes is null ? null : new CaptureLine(TimeSpan.FromTicks((long)(milliseconds * TimeSpan.TicksPerMillisecond)), bytes);
    }

    /// <summary>Reads a whole capture.</summary>
    /// <exception cref="StationException">Exit 3: a line is damaged; the message names it and says what is expected.</exception>
    internal static IReadOnlyList<CaptureLine> Read(TextReader reader, string name)
    {
        List<CaptureLine> lines = [];
        for (int number = 1; reader.ReadLine() is string text; number++)
        {
            if (number == 1 && text != Header)
            {
                throw Fault(name, number, NoCapture);
            }

            if (text.Length == 0 || text[0] == '#')
            {
                continue;
            }

            string? fault = TooLong;
            CaptureLine? line = text.Length > MaxLineLength ? null : Parse(text, out fault);
            if (line is null)
            {
                throw Fault(name, number, fault!);
            }

            if (lines.Count > 0 && line.SinceOpen < lines[^1].SinceOpen)
            {
                throw Fault(name, number, TimeGoesBack);
            }

            lines.Add(line);
        }

        return lines.Count > 0 ? lines : throw Fault(name, 1, Nothing);
    }

    private static StationException Fault(string name, int line, string what) =>
        new(ExitCode.BadFile, string.Create(CultureInfo.InvariantCulture, $"{PrintableText.Escape(name)}:{line}: {what}."));
}
