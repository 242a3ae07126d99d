using System.Runtime.InteropServices;

namespace CaliperStation.Cli;

/// <summary>Turns SIGINT, SIGTERM, SIGHUP and SIGQUIT into a cancellation, so that every command ends in order and what is on the disk stays whole.</summary>
internal sealed class Interruption : IDisposable
{
    private readonly CancellationTokenSource _source = new();
    private readonly List<PosixSignalRegistration> _registrations = [];

    internal Interruption()
    {
        foreach (PosixSignal signal in (PosixSignal[])[PosixSignal.SIGINT, PosixSignal.SIGTERM, PosixSignal.SIGHUP, PosixSignal.SIGQUIT])
        {
            _registrations.Add(PosixSignalRegistration.Create(signal, context =>
            {
                context.Cancel = !_source.IsCancellationRequested;   // asked twice: the system's own way
                _source.Cancel();
            }));
        }
    }

    internal CancellationToken Token => _source.Token;

    public void Dispose()
    {
        _registrations.ForEach(registration => registration.Dispose());
        _source.Dispose();
    }
}
