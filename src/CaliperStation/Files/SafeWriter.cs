using System.Text;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Files;

/// <summary>The door to standard output and standard error: whatever a text came from, only printable characters and line ends leave by it.</summary>
/// <remarks>
/// <see cref="Program"/> alone has the console's own writers; the rest of the program cannot get at them (BannedSymbols.txt). A line end in the
/// middle of a text cannot be told here from one that was meant: so tables and lines of reports are made safe where they are put together, in <c>TableText</c>, and
/// what quotes a name in a message escapes it there. SVG and HTML have their door in <c>Markup</c>, Markdown in <c>StandardTable</c>, CSV in <c>CsvText</c>, PDF in
/// <c>PdfFile</c>, speech in <c>SpeechText</c>, the screen in <c>TextCells</c>.
/// </remarks>
internal sealed class SafeWriter(TextWriter inner) : TextWriter(System.Globalization.CultureInfo.InvariantCulture)
{
    private readonly Lock _gate = new();
    private char? _high;   // the first half of a character whose second half comes with the next write

    /// <inheritdoc />
    public override Encoding Encoding => inner.Encoding;

    /// <summary>Goes back to the begin of the line, for a bar that is drawn over itself.</summary>
    internal static void Return(TextWriter writer)
    {
        TextWriter beyond = writer is SafeWriter safe ? safe.Inner : writer;
        beyond.Write('\r');
    }

    private TextWriter Inner => inner;

    /// <inheritdoc />
    public override void Write(char value) => Write([value]);

    /// <inheritdoc />
    public override void Write(char[] buffer, int index, int count) => Write(buffer.AsSpan(index, count));

    /// <inheritdoc />
    public override void Write(string? value) => Write(value.AsSpan());

    /// <inheritdoc />
    public override void Write(ReadOnlySpan<char> buffer)
    {
        lock (_gate)
        {
            Pass(buffer);
        }
    }

    /// <inheritdoc />
    public override void WriteLine(string? value)
    {
        lock (_gate)
        {
            Pass(value);
            Pass(NewLine);
        }
    }

    /// <inheritdoc />
    public override Task WriteAsync(string? value)
    {
        Write(value);
        return Task.CompletedTask;
    }

    /// <inheritdoc />
    public override Task WriteLineAsync(string? value)
    {
        WriteLine(value);
        return Task.CompletedTask;
    }

    /// <inheritdoc />
    public override void Flush() => inner.Flush();

    /// <inheritdoc />
    public override Task FlushAsync() => inner.FlushAsync();

    private void Pass(ReadOnlySpan<char> text)
    {
        if (_high is { } high && !text.IsEmpty)
        {
            _high = null;
            text = string.Concat([high], text);
        }

        if (!text.IsEmpty && char.IsHighSurrogate(text[^1]))
        {
            _high = text[^1];
            text = text[..^1];
        }

        while (!text.IsEmpty)
        {
            int line = text.IndexOf('\n');
            int end = line < 0 ? text.Length : line > 0 && text[line - 1] == '\r' ? line - 1 : line;
            ReadOnlySpan<char> words = text[..end];
            int next = line < 0 ? end : line + 1;
            if (words.ContainsAnyExceptInRange(' ', '~'))
            {
                inner.Write(PrintableText.Escape(words.ToString()));
                inner.Write(text[end..next]);
            }
            else
            {
                inner.Write(text[..next]);
            }

            text = text[next..];
        }
    }
}
