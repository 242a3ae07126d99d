using System.ComponentModel;
using System.Diagnostics;
using System.Threading.Channels;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;

namespace CaliperStation.Bench;

/// <summary>A command of the settings that is given something to play or to speak: started anew for each, by its name and arguments and never by a shell.</summary>
/// <remarks>The newest cuts off the one before. Nobody waits for it: one that cannot be started, fails or hangs is told once, and tried again the next time.</remarks>
internal sealed class OutsideCommand : IAsyncDisposable
{
    /// <summary>A tone is shorter than a second: a player that takes longer than this hangs.</summary>
    internal static readonly TimeSpan LongestTone = TimeSpan.FromSeconds(5);

    /// <summary>Speech that takes longer hangs.</summary>
    internal static readonly TimeSpan LongestSpeech = TimeSpan.FromSeconds(20);

    /// <summary>So long the last word has once the bench is left.</summary>
    internal static readonly TimeSpan LastWord = TimeSpan.FromSeconds(3);

    private readonly Channel<byte[]> _given = Channel.CreateBounded<byte[]>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropOldest, SingleReader = true });
    private readonly IReadOnlyList<string> _words;
    private readonly Action<string> _tell;
    private readonly TimeProvider _time;
    private readonly TimeSpan _longest;
    private readonly Task _work;
    private bool _isTold;

    /// <param name="words">The command and its arguments; one or more.</param>
    /// <param name="tell">Gets what is wrong with it, in words, once; from any thread.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="longest">A run that takes longer is stopped.</param>
    internal OutsideCommand(IReadOnlyList<string> words, Action<string> tell, TimeProvider time, TimeSpan longest)
    {
        (_words, _tell, _time, _longest) = (words, tell, time, longest);
        _work = Task.Run(WorkAsync);
    }

    /// <summary>Gives it this on its standard input; what it still plays or says is cut off.</summary>
    internal void Give(byte[] input) => _given.Writer.TryWrite(input);

    /// <summary>Lets what it plays or says last come to its end, for <see cref="LastWord"/>.</summary>
    public async ValueTask DisposeAsync()
    {
        _given.Writer.TryComplete();
        await _work.ConfigureAwait(false);
    }

    private async Task WorkAsync()
    {
        await foreach (byte[] input in _given.Reader.ReadAllAsync().ConfigureAwait(false))
        {
            try
            {
                await RunAsync(input).ConfigureAwait(false);
            }
            catch (Exception fault) when (fault is Win32Exception or InvalidOperationException or IOException)
            {
                Tell(fault is Win32Exception { NativeErrorCode: var code } ? new Win32Exception(code).Message : fault.Message);   // the runtime's own has folders in it
            }
        }
    }

    private async Task RunAsync(byte[] input)
    {
        using Process process = new()
        {
            StartInfo = new ProcessStartInfo(_words[0], _words.Skip(1)) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false },
        };
        process.Start();
        process.OutputDataReceived += (_, _) => { };   // what it prints would stand in the middle of the screen
        process.ErrorDataReceived += (_, _) => { };
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        Task feeding = FeedAsync(process, input);
        using CancellationTokenSource over = new();
        Task ended = process.WaitForExitAsync(over.Token);
        Task<bool> next = _given.Reader.WaitToReadAsync(over.Token).AsTask();
        Task late = Task.Delay(_longest, _time, over.Token);
        Task first = await Task.WhenAny(ended, next, late).ConfigureAwait(false);
        if (first == next && !await next.ConfigureAwait(false))
        {
            first = await Task.WhenAny(ended, late, Task.Delay(LastWord, _time, over.Token)).ConfigureAwait(false);   // the bench is left: the last word may be said
        }

        if (first != ended)
        {
            process.Kill(entireProcessTree: true);
        }

        await process.WaitForExitAsync().ConfigureAwait(false);
        await feeding.ConfigureAwait(false);
        await over.CancelAsync().ConfigureAwait(false);
        if (first == late)
        {
            Tell(FormattableString.Invariant($"it did not end within {_longest.TotalSeconds:0} s"));
        }
        else if (first == ended && process.ExitCode != 0)
        {
            Tell(FormattableString.Invariant($"it ended with {process.ExitCode}"));
        }
    }

    private static async Task FeedAsync(Process process, byte[] input)
    {
        try
        {
            await process.StandardInput.BaseStream.WriteAsync(input).ConfigureAwait(false);
            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // it ended without reading: its exit code says whether that is wrong
        }
    }

    private void Tell(string why)
    {
        Log.Note($"Command {PrintableText.Escape(_words[0])}: {PrintableText.Escape(why)}");
        if (!_isTold)
        {
            _isTold = true;
            _tell($"{_words[0]} of the settings does not work: {why}");
        }
    }
}
