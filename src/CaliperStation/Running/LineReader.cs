using System.Text;
using System.Threading.Channels;

namespace CaliperStation.Running;

/// <summary>
/// Lines of an input, read on a thread of their own so that waiting for one can be cancelled. A line longer than
/// <see cref="Answer.LongestLine"/> is cut one character beyond it, so that it is refused and never fills the memory.
/// </summary>
internal sealed class LineReader
{
    private readonly Channel<string> _lines = Channel.CreateBounded<string>(16);
    private readonly string? _pressText;

    /// <param name="input">Where the lines come from.</param>
    /// <param name="pressText">What a pedal types: a line of nothing else is a press.</param>
    internal LineReader(TextReader input, string? pressText = null)
    {
        _pressText = pressText;
        new Thread(() => Pump(input)) { IsBackground = true, Name = "answers" }.Start();
    }

    /// <summary>A press from a wired switch, as if an empty line had come; from any thread.</summary>
    internal void Press() => _lines.Writer.TryWrite("");

    /// <summary>The next line without its end, or null at the end of the input or when cancelled.</summary>
    internal async Task<string?> ReadAsync(CancellationToken stop)
    {
        try
        {
            string line = await _lines.Reader.ReadAsync(stop).ConfigureAwait(false);
            return _pressText is not null && line.Trim() == _pressText ? "" : line;
        }
        catch (Exception end) when (end is ChannelClosedException or OperationCanceledException)
        {
            return null;
        }
    }

    private void Pump(TextReader input)
    {
        try
        {
            StringBuilder line = new();
            bool any = false;
            for (int next = input.Read(); next >= 0; next = input.Read())
            {
                any = true;
                if (next == '\n')
                {
                    _lines.Writer.WriteAsync(line.ToString()).AsTask().GetAwaiter().GetResult();
                    line.Clear();
                    any = false;
                }
                else if (line.Length <= Answer.LongestLine)
                {
                    line.Append((char)next);
                }
            }

            if (any)
            {
                _lines.Writer.WriteAsync(line.ToString()).AsTask().GetAwaiter().GetResult();
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
}
