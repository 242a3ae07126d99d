using System.Diagnostics;
using System.Text;

namespace CaliperStation.Tests.Whole;

/// <summary>A running program that is talked to a line at a time; every wait has a bound.</summary>
internal sealed class Talk : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(100);

    private readonly Process _process;
    private readonly StringBuilder _seen = new();
    private readonly Lock _gate = new();
    private readonly Task _reading;
    private TaskCompletionSource _more = new(TaskCreationOptions.RunContinuationsAsynchronously);

    internal Talk(Station station, params IEnumerable<string> arguments)
    {
        _process = Process.Start(station.Call(arguments))!;
        _reading = Task.WhenAll(ReadAsync(_process.StandardOutput), ReadAsync(_process.StandardError));
    }

    internal void Say(string line)
    {
        _process.StandardInput.Write(line + "\n");
        _process.StandardInput.Flush();
    }

    /// <summary>Waits for a line with this text, on either output, and gives it; it and all before it are then forgotten. <paramref name="meanwhile"/> is done ten times a second.</summary>
    internal async Task<string> SeeAsync(string text, Action? meanwhile = null)
    {
        long began = Stopwatch.GetTimestamp();
        while (true)
        {
            Task more;
            lock (_gate)
            {
                string seen = _seen.ToString();
                int at = seen.IndexOf(text, StringComparison.Ordinal);
                int end = at < 0 ? -1 : seen.IndexOf('\n', at);
                if (end >= 0)
                {
                    _seen.Remove(0, end + 1);
                    return seen[(seen.LastIndexOf('\n', at) + 1)..end];
                }

                more = _more.Task;
            }

            meanwhile?.Invoke();
            if (Stopwatch.GetElapsedTime(began) > Patience || _reading.IsCompleted)
            {
                throw new TimeoutException($"never saw \"{text}\"; last was: {_seen}");
            }

            await Task.WhenAny(meanwhile is null ? more : _reading, Task.Delay(LookAgain)).ConfigureAwait(false);
        }
    }

    /// <summary>What came after all that was waited for.</summary>
    internal string Rest
    {
        get
        {
            lock (_gate)
            {
                return _seen.ToString();
            }
        }
    }

    internal async Task<int> EndAsync()
    {
        using CancellationTokenSource patience = new(Patience);
        await _process.WaitForExitAsync(patience.Token).ConfigureAwait(false);
        await _reading.ConfigureAwait(false);
        return _process.ExitCode;
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill(entireProcessTree: true);
        }

        _process.Dispose();
    }

    private async Task ReadAsync(StreamReader output)
    {
        while (await output.ReadLineAsync().ConfigureAwait(false) is { } line)
        {
            lock (_gate)
            {
                _seen.Append(line).Append('\n');
                _more.TrySetResult();
                _more = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            }
        }
    }
}
