using System.Diagnostics;
using System.Text;

namespace CaliperStation.Tests.Whole;

/// <summary>A running program on a terminal of its own, read until it shows what is waited for; every wait has a bound.</summary>
internal sealed class OnTerminal : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private long? _pressed;
    private readonly Process _process;
    private readonly StringBuilder _seen = new();
    private readonly Task _reading;
    private readonly Lock _gate = new();
    private TaskCompletionSource _more = new(TaskCreationOptions.RunContinuationsAsynchronously);

    /// <summary>Starts it under util-linux's <c>script</c>, which gives it a terminal of 24 lines of 80 cells.</summary>
    internal OnTerminal(Station station, params IEnumerable<string> arguments)
        : this(station, arguments, "exec ", "")
    {
    }

    private OnTerminal(Station station, IEnumerable<string> arguments, string before, string after)
    {
        ProcessStartInfo plain = station.Call(arguments);
        string command = $"stty rows 24 cols 80; {before}{string.Join(' ', plain.ArgumentList.Prepend(plain.FileName).Select(Quoted))}{after}";
        plain.FileName = "script";
        plain.ArgumentList.Clear();
        foreach (string argument in (string[])["--quiet", "--flush", "--return", "--command", command, "/dev/null"])
        {
            plain.ArgumentList.Add(argument);
        }

        plain.Environment["TERM"] = "xterm-256color";
        plain.Environment.Remove("DisableRealDriverIO");
        _process = Process.Start(plain)!;
        _reading = Task.Run(ReadAsync);
    }

    /// <summary>Starts it as a job of a shell, which shows the terminal's settings once the job is stopped, and lets it go on.</summary>
    internal static OnTerminal AsJob(Station station, params IEnumerable<string> arguments) => new(station, arguments, "set -m; ", "; stty -a; fg");

    /// <summary>True where such a terminal can be had.</summary>
    internal static bool IsPossible => OperatingSystem.IsLinux() && File.Exists("/usr/bin/script");

    /// <summary>Presses as a person does: not again within 1.1 s, for closer presses may be one that is held.</summary>
    internal void PressCalmly(string keys)
    {
        if (_pressed is not { } before || Stopwatch.GetElapsedTime(before) > TimeSpan.FromSeconds(1.1))
        {
            _pressed = Stopwatch.GetTimestamp();
            Press(keys);
        }
    }

    internal void Press(string keys)
    {
        _process.StandardInput.Write(keys);
        _process.StandardInput.Flush();
    }

    /// <summary>Waits until the terminal was sent this text after all that was waited for before.</summary>
    internal async Task SeeAsync(string text, Action? meanwhile = null)
    {
        long began = Stopwatch.GetTimestamp();
        while (true)
        {
            Task more;
            lock (_gate)
            {
                int at = _seen.ToString().IndexOf(text, StringComparison.Ordinal);
                if (at >= 0)
                {
                    _seen.Remove(0, at + text.Length);
                    return;
                }

                more = _more.Task;
            }

            meanwhile?.Invoke();
            if (Stopwatch.GetElapsedTime(began) > Patience || _reading.IsCompleted)
            {
                throw new TimeoutException($"never saw \"{text}\"; last was: {_seen}");
            }

            await Task.WhenAny(more, Task.Delay(TimeSpan.FromMilliseconds(100))).ConfigureAwait(false);
        }
    }

    /// <summary>Nothing of what was sent until now is waited for any more.</summary>
    internal void Forget()
    {
        lock (_gate)
        {
            _seen.Clear();
        }
    }

    internal async Task<int> EndAsync()
    {
        using CancellationTokenSource patience = new(Patience);
        await _process.WaitForExitAsync(patience.Token).ConfigureAwait(false);
        await _reading.ConfigureAwait(false);
        return _process.ExitCode;
    }

    /// <summary>Takes the terminal away, as a closed window or a dropped line does, and waits until the program has ended by itself.</summary>
    internal async Task LoseTerminalAsync()
    {
        using Process find = Process.Start(new ProcessStartInfo("pgrep", ["-P", _process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]) { RedirectStandardOutput = true })!;
        using Process bench = Process.GetProcessById(int.Parse((await find.StandardOutput.ReadToEndAsync()).Trim(), System.Globalization.CultureInfo.InvariantCulture));
        _process.Kill();
        using CancellationTokenSource patience = new(Patience);
        try
        {
            await bench.WaitForExitAsync(patience.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            bench.Kill();
            throw new TimeoutException("the program goes on without a terminal");
        }
    }

    /// <summary>What came after all that was waited for.</summary>
    internal string Rest => _seen.ToString();

    internal void Signal(string name)
    {
        using Process kill = Process.Start("pkill", ["-" + name, "-P", _process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
        kill.WaitForExit(Patience);
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill(entireProcessTree: true);
        }

        _process.Dispose();
    }

    private async Task ReadAsync()
    {
        char[] piece = new char[4096];
        while (await _process.StandardOutput.ReadAsync(piece).ConfigureAwait(false) is var read and > 0)
        {
            lock (_gate)
            {
                _seen.Append(piece, 0, read);
                _more.TrySetResult();
                _more = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            }
        }
    }

    private static string Quoted(string argument) => $"'{argument.Replace("'", "'\\''", StringComparison.Ordinal)}'";
}
