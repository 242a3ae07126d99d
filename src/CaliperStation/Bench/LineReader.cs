using System.Text;
using System.Threading.Channels;
using CaliperStation.Core.Bench;

namespace CaliperStation.Bench;

/// <summary>
/// Lines of an input, read on a thread of their own so that waiting for one can be cancelled. A line ends with CR, LF or both: which one a terminal's Enter
/// sends hangs on its state. One longer than <see cref="Answer.MaxLineLength"/> is cut one character beyond it, so that it is refused and never fills the memory.
/// </summary>
internal sealed class LineReader
{
    private readonly Channel<string> _lines = Channel.CreateBounded<string>(16);
    private readonly PressOrigin _origin;
    private readonly string? _pressText;
    private readonly string? _notSoText;

    /// <param name="input">Where the lines come from.</param>
    /// <param name="origin">Who writes them: a person at a terminal, or a script.</param>
    /// <param name="pressText">What a pedal types: a line of nothing else is a press.</param>
    /// <param name="notSoText">What a second switch types: a line of nothing else is "not so".</param>
    internal LineReader(TextReader input, PressOrigin origin, string? pressText = null, string? notSoText = null)
    {
        (_origin, _pressText, _notSoText) = (origin, pressText, notSoText);
        new Thread(() => Pump(input)) { IsBackground = true, Name = "answers" }.Start();
    }

    /// <summary>The lines of standard input: of a person when it is a terminal, else of a script.</summary>
    internal static LineReader OfConsole(string? pressText, string? notSoText) =>
        new(Console.In, Console.IsInputRedirected ? PressOrigin.Script : PressOrigin.Person, pressText, notSoText);

    /// <summary>The next line as an input of the bench, or null when none is there; the end of the lines is a stop.</summary>
    internal BenchInput? TryRead() => !_lines.Reader.TryRead(out string? line) ? _lines.Reader.Completion.IsCompleted ? new BenchInput.Says(new Answer.Stop()) : null
        : IsPress(line) ? new BenchInput.Press(_origin)
        : _notSoText is not null && line.Trim() == _notSoText ? new BenchInput.NotSo()
        : new BenchInput.Says(Answer.Of(line));

    /// <summary>Done when a line is there, or no more will come.</summary>
    internal async Task WaitAsync(CancellationToken stop) => await _lines.Reader.WaitToReadAsync(stop).ConfigureAwait(false);

    /// <summary>The next line without its end, for a question before the bench is open; null at the end.</summary>
    internal string? Ask(CancellationToken stop)
    {
        try
        {
            return _lines.Reader.ReadAsync(stop).AsTask().GetAwaiter().GetResult();
        }
        catch (ChannelClosedException)
        {
            return null;
        }
    }

    private bool IsPress(string line) => line.Trim() is var text && (text.Length == 0 || text == _pressText);

    private void Pump(TextReader input)
    {
        try
        {
            StringBuilder line = new();
            bool any = false;
            bool afterReturn = false;
            for (int next = input.Read(); next >= 0; next = input.Read())
            {
                if (next == '\n' && afterReturn)
                {
                    afterReturn = false;   // the second half of one end
                    continue;
                }

                afterReturn = next == '\r';
                if (next is '\n' or '\r')
                {
                    Put(line);
                    any = false;
                    continue;
                }

                any = true;
                if (line.Length <= Answer.MaxLineLength)
                {
                    line.Append((char)next);
                }
            }

            if (any)
            {
                Put(line);
            }
        }
        catch (Exception lost) when (lost is IOException or ObjectDisposedException)
        {
            // the terminal went away: the same as its end
        }
        finally
        {
            _lines.Writer.TryComplete();
        }
    }

    private void Put(StringBuilder line)
    {
        _lines.Writer.WriteAsync(line.ToString()).AsTask().GetAwaiter().GetResult();
        line.Clear();
    }
}
